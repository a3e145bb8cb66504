"""Plays a diary: each happening at its moment, in order, and none in the future."""

from collections.abc import Callable, Iterator
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from clinician.demo.case import Case
from clinician.demo.diary import MORNING, Diary, LivedDay
from clinician.demo.entries import bout_end, say, say_bout, say_morning, say_new_pads

Happening = Callable[[Case, datetime], None]
# By then the day before is closed; the clock judges what nobody sent.
CLOCK_AT = time(12, 30)
NEW_PADS_AT = time(8, 30)
LAST_WORD = time(20, 30)
# Somewhere a few hours behind home, so that no evening abroad overtakes a morning at home.
ABROAD = (
    "America/New_York",
    "America/Sao_Paulo",
    "America/Anchorage",
    "Europe/London",
    "Asia/Dubai",
    "Asia/Bangkok",
    "Pacific/Honolulu",
)
BEHIND = (timedelta(hours=-6), timedelta(hours=-3))


def live(case: Case, diary: Diary, now: datetime) -> None:
    """Everything up to `now`; what would come later is left undone."""
    abroad = zone_abroad(case.zone, now)
    for offset in sorted(diary.days):
        day, date = diary.day(offset), case.today + timedelta(days=offset)
        zone = abroad if day.abroad else case.zone
        for wall, happen in sorted(_happenings(case, day), key=lambda one: one[0]):
            at = datetime.combine(date, wall, tzinfo=zone)
            if at <= now:
                happen(case, at)


def zone_abroad(home: ZoneInfo, now: datetime) -> ZoneInfo:
    """A zone three to six hours behind; home itself where the list has none."""
    for name in ABROAD:
        zone = ZoneInfo(name)
        behind = now.astimezone(zone).utcoffset() - now.astimezone(home).utcoffset()
        if BEHIND[0] <= behind <= BEHIND[1]:
            return zone
    return home


def _happenings(case: Case, day: LivedDay) -> Iterator[tuple[time, Happening]]:
    yield from day.happenings
    if case.phone is None:
        return
    if day.swelling is not None:
        yield MORNING, lambda case, at: say_morning(case, day, at)
    for limb in day.new_pads:
        yield NEW_PADS_AT, lambda case, at, limb=limb: say_new_pads(case, at, limb)
    for bout in day.bouts:
        yield bout_end(bout), lambda case, at, bout=bout: say_bout(case, bout, at)
    for ordinal, (limb, reason) in enumerate(day.not_done, start=1):
        yield LAST_WORD, _not_done(ordinal, limb, reason)
    if day.sync_at:
        yield day.sync_at, lambda case, at: case.phone.sync(at)
    else:
        yield CLOCK_AT, lambda case, at: case.clock(at)


def _not_done(ordinal: int, limb: str, reason: str) -> Happening:
    said = {"ordinal": ordinal, "reason": reason}
    return lambda case, at: say(case, "not_done", said, at, limb)
