"""Facts of one patient -> the flags that should stand. Pure; common practice, no source.

Each rule says what it looked at (`basis`) and how new its newest fact is
(`fact_at`): a card that somebody closed opens again only on a newer fact. What
no rule can see: bouts done but never logged, and a log that is not true.
"""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, time, timedelta

from homeprogram.calc.adherence import Day, contractions, credited
from homeprogram.calc.day_status import DayStatus
from homeprogram.calc.days import closes_at, local_day
from homeprogram.calc.flag_facts import (
    Card,
    EpisodeFacts,
    Facts,
    PadsFact,
    ReportFact,
    SkinFact,
)
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.pads import worn_on

RULE_VERSION = 1
LOGGED = {DayStatus.DONE, DayStatus.PARTLY_DONE, DayStatus.NOT_DONE}
SAFETY = frozenset({"skin_reaction", "stop_report", "something_changed"})
# A wish to be called grows no smaller with age: somebody has to answer it.
# What is lost stays lost, a stop report perhaps among it: somebody has to ask.
UNTIL_CLOSED = SAFETY | {"contact_wanted", "lost_entries"}
# The panel's order: safety first, then a wish for contact, then the rest.
REASONS = (
    "stop_report",
    "skin_reaction",
    "something_changed",
    "contact_wanted",
    "missed_days",
    "under_dose",
    "pads_due",
    "lost_entries",
    "held_entry",
    "no_contact",
)


def wanted_cards(facts: Facts, rules: FlagRules) -> list[Card]:
    """Every card the facts call for, one per limb and reason."""
    cards: list[Card] = []
    for episode in facts.episodes:
        cards += missed_days(episode, facts, rules)
        cards += under_dose(episode, facts, rules)
        cards += skin_reaction(episode.episode_id, facts.skin, rules)
        cards += pads_due(episode, facts, rules)
    cards += stop_report(facts.stop_reports)
    cards += something_changed(facts.changes)
    cards += contact_wanted(facts, rules)
    cards += no_contact(facts, rules)
    cards += held_entry(facts.held)
    cards += lost_entries(facts, rules)
    return cards


def missed_days(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """So many due days missed in a row, or of the last few; unknown days are not missed.

    The fact is as old as the first day of its newest pattern, so that after a
    closing a whole new pattern is needed.
    """
    due = [d for d in episode.days if d.is_due and d.over]
    run = _newest_run(due, rules.missed_in_a_row)
    window = due[-rules.missed_window :]
    of_last = [d for d in window if d.status is DayStatus.MISSED][-rules.missed_of_last :]
    patterns = [
        p
        for p, size in ((run, rules.missed_in_a_row), (of_last, rules.missed_of_last))
        if len(p) == size
    ]
    if patterns:
        newest = max(patterns, key=lambda p: p[0].day)
        yield Card(
            "missed_days",
            episode.episode_id,
            closes_at(newest[0].day, facts.zone),
            {
                "days": [d.day.isoformat() for d in newest],
                "rule": f"{rules.missed_in_a_row} due days in a row, "
                f"or {rules.missed_of_last} of the last {rules.missed_window}",
            },
        )


def _newest_run(due: Sequence[Day], length: int) -> list[Day]:
    """The newest `length` neighbouring missed due days within the newest due days."""
    for end in range(len(due), length - 1, -1):
        piece = list(due[end - length : end])
        if all(d.status is DayStatus.MISSED for d in piece):
            return piece
        if piece[-1].status in LOGGED:
            return []  # the patient is back since
    return []


def under_dose(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """Fewer than a share of the known-due contractions; extras hide no gap."""
    window = [d for d in episode.days if d.over][-rules.under_dose_days :]
    known = [d for d in window if d.counts]
    due = sum(d.due.contractions for d in known)
    done = credited(window, contractions)
    if len(known) >= rules.under_dose_known_days and done < rules.under_dose_share * due:
        yield Card(
            "under_dose",
            episode.episode_id,
            closes_at(known[0].day, facts.zone),
            {
                "from": known[0].day.isoformat(),
                "to": known[-1].day.isoformat(),
                "contractions": done,
                "contractions_due": due,
                "rule": f"under {rules.under_dose_share:.0%} of known-due contractions "
                f"in {rules.under_dose_days} days",
            },
        )


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


def _itch_runs(checks: Sequence[SkinFact], length: int) -> list[SkinFact]:
    return [
        checks[i]
        for i in range(length - 1, len(checks))
        if all(check.itchy for check in checks[i - length + 1 : i + 1])
    ]


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
    worn = worn_on(list(uses), pads.new_on, warn_at=rules.pads_uses - rules.pads_warn)
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


def no_contact(facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """No claim for so long though a due day is over; about the phone, not the person.

    The hours run from the first unheard due day, so that days on which nothing
    was due are no silence; nor is one whose bouts are all here. A silence that
    goes on is a new fact every week.
    """
    silent = sorted(
        d.day for episode in facts.episodes for d in episode.days if d.over and _unheard(d, facts)
    )
    if not silent:
        return
    starts = datetime.combine(silent[0], time(), tzinfo=facts.zone).astimezone(UTC)
    since = max(starts, facts.watermark) if facts.watermark else starts
    if facts.now - since < timedelta(hours=rules.no_contact_h):
        return
    first_close = closes_at(silent[0], facts.zone)
    weeks = (facts.now - first_close) // timedelta(days=7)
    yield Card(
        "no_contact",
        None,
        first_close + timedelta(days=7) * weeks,
        {
            "since": since.astimezone(UTC).isoformat(),
            "due_days_unheard": len(set(silent)),
            "rule": f"{rules.no_contact_h} hours without word from the phone and a due day over",
        },
    )


def _unheard(day: Day, facts: Facts) -> bool:
    """Due, not done, and the phone may still hold what was done."""
    if not day.is_due or day.status is DayStatus.DONE:
        return False
    return facts.watermark is None or closes_at(day.day, facts.zone) > facts.watermark
