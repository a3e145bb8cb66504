"""Flags from the days of a program: missed, too little, and silence. Common practice, no source."""

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta

from homeprogram.calc.adherence import Day, contractions, credited
from homeprogram.calc.day_status import DayStatus
from homeprogram.calc.days import closes_at
from homeprogram.calc.flag_facts import Card, EpisodeFacts, Facts
from homeprogram.calc.limits import FlagRules

LOGGED = {DayStatus.DONE, DayStatus.PARTLY_DONE, DayStatus.NOT_DONE}


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


def no_contact(facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """No claim for so long though a due day is over; about the phone, not the person.

    The hours run from the first unheard due day, so that days on which nothing
    was due are no silence; nor is one whose bouts are all here. A silence that
    goes on is a new fact every week.
    """
    silent = _silent_days(facts)
    since = silent_since(facts)
    if since is None or facts.now - since < timedelta(hours=rules.no_contact_h):
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


def silent_since(facts: Facts) -> datetime | None:
    """From when the hours of silence run; None while no due day is over unheard."""
    silent = _silent_days(facts)
    if not silent:
        return None
    starts = datetime.combine(silent[0], time(), tzinfo=facts.zone).astimezone(UTC)
    return max(starts, facts.watermark) if facts.watermark else starts


def _silent_days(facts: Facts) -> list[date]:
    return sorted(
        d.day for episode in facts.episodes for d in episode.days if d.over and _unheard(d, facts)
    )


def _unheard(day: Day, facts: Facts) -> bool:
    """Due, not done, and the phone may still hold what was done."""
    if not day.is_due or day.status is DayStatus.DONE:
        return False
    return facts.watermark is None or closes_at(day.day, facts.zone) > facts.watermark
