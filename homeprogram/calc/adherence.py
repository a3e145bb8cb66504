"""Completed of due: bouts, contractions and minutes apart, unknown days counted apart.

Adherence = completed / due over days that are over and known. Pauses and holds
leave the denominator (so do recorded suspensions in Windholz 2014, BMC Palliat
Care 13:23). A bout on an off day counts towards its ISO week, and so do its
contractions, but no day counts for more than the program asks of a due day, and
no week for more than its known days asked, so that extras cannot hide gaps
(common practice, no source).
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from homeprogram.calc.day_status import DayCounts, DayStatus
from homeprogram.calc.schedule import DueDay

# No set: the hash of a word costs more than a look at four.
KNOWN = (DayStatus.DONE, DayStatus.PARTLY_DONE, DayStatus.NOT_DONE, DayStatus.MISSED)


@dataclass(frozen=True, slots=True)
class Day:
    """One episode's day with everything decided; `over` = its grace has run out."""

    day: date
    due: DueDay
    logged: DayCounts
    status: DayStatus
    over: bool

    @property
    def is_due(self) -> bool:
        return self.due.due > 0 and self.status is not DayStatus.PAUSED

    @property
    def counts(self) -> bool:
        """Due, known, and nothing more is to be expected of it."""
        settled = self.over or self.status is DayStatus.DONE
        return self.is_due and settled and self.status in KNOWN


@dataclass(frozen=True, slots=True)
class Adherence:
    """Counts over a span of days; shares are None where nothing known was due."""

    due_days: int  # over and due, known or not
    unknown_days: int
    bouts_due: int
    bouts_done: int
    contractions_due: int
    contractions_done: int
    minutes_done: float
    bouts_at_floor: int
    bouts_over: int  # beyond what a day asks: stays visible

    @property
    def bouts_pct(self) -> float | None:
        return _share(self.bouts_done, self.bouts_due)

    @property
    def contractions_pct(self) -> float | None:
        return _share(self.contractions_done, self.contractions_due)


def adherence(days: Iterable[Day]) -> Adherence:
    """Sum a span of days in calendar order."""
    days = list(days)
    known = [d for d in days if d.counts]
    unknown = [d for d in days if d.status is DayStatus.NOT_KNOWN_YET]
    weeks = [list(week) for _, week in groupby(days, key=_iso_week)]
    return Adherence(
        due_days=len(known) + len(unknown),
        unknown_days=len(unknown),
        bouts_due=sum(d.due.due for d in known),
        bouts_done=sum(credited(week, _bouts) for week in weeks),
        contractions_due=sum(d.due.contractions for d in known),
        contractions_done=sum(credited(week, contractions) for week in weeks),
        minutes_done=sum(d.logged.minutes for d in days),
        bouts_at_floor=sum(d.logged.at_floor for d in days),
        bouts_over=sum(max(0, d.logged.bouts_done - d.due.per_day) for d in days),
    )


def _share(done: float, due: float) -> float | None:
    return 100 * done / due if due else None


def _iso_week(day: Day) -> tuple[int, int]:
    return day.day.isocalendar()[:2]


def credited(days: Sequence[Day], measure: Callable[[Day], tuple[int, int, int]]) -> int:
    """What of these days counts: never more of a day, nor in all, than was asked.

    `measure` tells of a day what was done, what was due, and what a due day asks.
    """
    asked = credit = 0
    for day in days:
        counts = day.counts
        if counts or day.status is DayStatus.NOT_DUE:
            done, due, most = measure(day)
            asked += due if counts else 0
            credit += min(done, most)
    return min(asked, credit)


def _bouts(day: Day) -> tuple[int, int, int]:
    return day.logged.bouts_done, day.due.due, day.due.per_day


def contractions(day: Day) -> tuple[int, int, int]:
    return day.logged.contractions, day.due.contractions, day.due.contractions_per_day
