"""Flags from what was told: skin, stop reports, wishes, pads, and entries held or lost.

Common practice, no source.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime, time, timedelta

from homeprogram.calc.days import local_day
from homeprogram.calc.flag_facts import Card, EpisodeFacts, Facts, PadsFact, ReportFact, SkinFact
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.pads import worn_on


def skin_reaction(episode_id: str, skin: Sequence[SkinFact], rules: FlagRules) -> Iterator[Card]:
    """A mark that lasts, a raised or broken spot at any moment, or itch twice running."""
    checks = [check for check in skin if check.episode_id == episode_id]
    found = [check for check in checks if _is_reaction(check, rules)]
    found += _itch_runs(checks, rules.itch_in_a_row)
    if found:
        newest = max(found, key=lambda check: check.received_at)
        worst = max(check.grade for check in found)
        yield Card(
            "skin_reaction",
            episode_id,
            newest.received_at,
            {
                "entries": sorted({check.entry_id for check in found}),
                "grade": worst,
                "day": newest.day,
                "moment": newest.moment,
                "rule": f"grade {rules.skin_later_grade} or more next morning or before a bout, "
                f"grade {rules.skin_any_grade} or more at any moment, "
                f"or itch {rules.itch_in_a_row} checks running",
            },
        )


def _is_reaction(check: SkinFact, rules: FlagRules) -> bool:
    later = check.moment in {"next_morning", "before"}
    return check.grade >= (rules.skin_later_grade if later else rules.skin_any_grade)


def _itch_runs(told: Sequence[SkinFact], length: int) -> list[SkinFact]:
    """Itch as it was first told of each check; a correction is not another check."""
    itched: dict[str, SkinFact | None] = {}
    for fact in told:
        check = fact.check_id or fact.entry_id
        itched[check] = itched.get(check) or (fact if fact.itchy else None)
    checks = list(itched.values())
    runs = (checks[i : i + length] for i in range(len(checks) - length + 1))
    return [fact for run in runs if all(run) for fact in run]


def stop_report(reports: Sequence[ReportFact]) -> Iterator[Card]:
    """Every stop report, at once; one card per limb or for the patient."""
    for episode_id in dict.fromkeys(report.episode_id for report in reports):
        mine = [report for report in reports if report.episode_id == episode_id]
        yield _report_card("stop_report", episode_id, mine, "any stop report")


def something_changed(changes: Sequence[ReportFact]) -> Iterator[Card]:
    """A medicine, an illness, an operation, a pregnancy or an implant: screen again."""
    if changes:
        rule = "any change of health the patient tells of"
        yield _report_card("something_changed", None, changes, rule)


def pads_due(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """Pads near the end of their life, or that no longer stick as the patient says."""
    pads = facts.pads.get(episode.episode_id, PadsFact())
    uses = pads.uses
    warn_at = rules.pads_uses - rules.pads_warn
    worn = worn_on(list(uses), pads.new_on, warn_at=warn_at, lasts=rules.pads_uses)
    moments = [datetime.combine(worn, time(), tzinfo=facts.zone)] if worn else []
    moments += [pads.wont_stick_at] if pads.wont_stick_at else []
    if moments:
        yield Card(
            "pads_due",
            episode.episode_id,
            max(moments),
            {
                "uses": len(uses),
                "new_on": pads.new_on.isoformat() if pads.new_on else "",
                "wont_stick": pads.wont_stick_at is not None,
                "rule": f"within {rules.pads_warn} of {rules.pads_uses} uses, "
                "or the patient says that they no longer stick",
            },
        )


def contact_wanted(facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """A note that asks to be called, or `not done` for pain several times."""
    today = local_day(facts.now, facts.zone)
    since = (today - timedelta(days=rules.pain_window_days)).isoformat()
    pain = [said for said in facts.not_done if said.what == "pain" and said.day > since]
    reports = list(facts.wishes)
    if len(pain) >= rules.pain_reports:
        reports += pain
    if reports:
        yield _report_card(
            "contact_wanted",
            None,
            reports,
            f"a note that asks for contact, or {rules.pain_reports} times not done for pain "
            f"in {rules.pain_window_days} days",
        )


def held_entry(held: Sequence[ReportFact]) -> Iterator[Card]:
    """An entry in custody that nobody has settled."""
    if held:
        yield _report_card("held_entry", None, list(held), "any held entry not settled")


def lost_entries(facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """A phone told that entries of its log will never come."""
    since = facts.now - timedelta(days=rules.window_days)
    told = [loss for loss in facts.losses if loss.told_at >= since]
    if told:
        yield Card(
            "lost_entries",
            None,
            max(loss.told_at for loss in told),
            {
                "numbered": sum(loss.count for loss in told),
                "cleared": any(loss.count == 0 for loss in told),
                "since": min(loss.since for loss in told).isoformat(),
                "until": max(loss.until for loss in told).isoformat(),
                "rule": "any entry that a phone says it can no longer send",
            },
        )


def _report_card(
    reason: str, episode_id: str | None, reports: Sequence[ReportFact], rule: str
) -> Card:
    newest = max(reports, key=lambda report: report.received_at)
    basis = {
        # A stop report tells of several symptoms; it is still one entry.
        "entries": list(dict.fromkeys(report.entry_id for report in reports)),
        "day": newest.day,
        "what": sorted({report.what for report in reports}),
        "rule": rule,
    }
    return Card(reason, episode_id, newest.received_at, basis)
