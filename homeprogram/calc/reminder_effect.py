"""Whether more is logged after a reminder than on like days without one.

Not a trial: the days that get no reminder are those beyond the caps, and may differ.
"""

from bisect import bisect_left
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from homeprogram.calc.days import local_day
from homeprogram.calc.limits import REMINDER_EFFECT_H, REMINDER_MATCH_DAYS
from homeprogram.calc.reminders import moment_on

WINDOW = timedelta(hours=REMINDER_EFFECT_H)


@dataclass(frozen=True, slots=True)
class Effect:
    """Pairs of a reminded day and a like one without; on how many of each a log followed."""

    pairs: int = 0
    logged_with: int = 0
    logged_without: int = 0

    def __add__(self, other: "Effect") -> "Effect":
        return Effect(
            self.pairs + other.pairs,
            self.logged_with + other.logged_with,
            self.logged_without + other.logged_without,
        )


def effect(
    sent: Sequence[datetime],
    due_days: Collection[date],
    logged: Sequence[datetime],
    zone: ZoneInfo,
    now: datetime,
) -> Effect:
    """One patient. Each reminder is set beside the nearest due day that had none and on which
    nothing was logged before the same hour; a day serves once. What is not over yet counts on
    neither side: the log may still come."""
    logged = sorted(logged)
    free = set(due_days) - {local_day(at, zone) for at in sent}
    found = Effect()
    for at in sorted(at for at in sent if _is_over(at, now)):
        day, wall = local_day(at, zone), at.astimezone(zone).time()
        like = [
            one
            for one in free
            if abs((one - day).days) <= REMINDER_MATCH_DAYS
            and _is_over(moment_on(one, wall, zone), now)
            and _nothing_yet(logged, one, wall, zone)
        ]
        if like:
            match = min(like, key=lambda one: (abs((one - day).days), one))
            free.discard(match)
            without = _followed(logged, moment_on(match, wall, zone))
            found += Effect(1, _followed(logged, at), without)
    return found


def _is_over(at: datetime, now: datetime) -> bool:
    return at + WINDOW <= now


def _followed(logged: Sequence[datetime], at: datetime) -> int:
    place = bisect_left(logged, at)
    return int(place < len(logged) and logged[place] < at + WINDOW)


def _nothing_yet(logged: Sequence[datetime], day: date, wall: time, zone: ZoneInfo) -> bool:
    return bisect_left(logged, moment_on(day, time(), zone)) == bisect_left(
        logged, moment_on(day, wall, zone)
    )
