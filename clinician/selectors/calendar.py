"""The last four weeks of one limb as a table: a row a week, a column a weekday."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from clinician.selectors.strip import WORDS, bouts_said
from clinician.selectors.words import WEEKDAYS
from homeprogram.calc.adherence import Day
from homeprogram.calc.days import ONE_DAY
from homeprogram.models import Episode
from homeprogram.selectors.plans import Context

WEEKS = 4


@dataclass(frozen=True, slots=True)
class DayBox:
    weekday: str
    day: str
    status: str
    word: str
    detail: str
    later: bool  # a bout of it was written down once the day had closed
    today: bool


@dataclass(frozen=True, slots=True)
class Week:
    name: str
    boxes: list[DayBox | None]  # None = a day still to come


def first_day(context: Context) -> object:
    """The Monday that opens the table."""
    monday = context.today - timedelta(days=context.today.weekday())
    return monday - timedelta(weeks=WEEKS - 1)


def weeks(context: Context, episode: Episode, later: Collection[tuple[str, date]]) -> list[Week]:
    """`later` = limb and day of what was filled in afterwards."""
    days = context.days(episode, first_day(context), context.today)
    boxes = [
        _box(day, today=day.day == context.today, later=(episode.limb.upper(), day.day) in later)
        for day in days
    ]
    boxes += [None] * (-len(boxes) % 7)
    return [_week(days[at].day, boxes[at : at + 7]) for at in range(0, len(boxes), 7)]


def _week(monday, boxes: Sequence[DayBox | None]) -> Week:
    sunday = monday + 6 * ONE_DAY
    return Week(f"{monday.day} {monday:%b} to {sunday.day} {sunday:%b}", list(boxes))


def _box(day: Day, *, today: bool, later: bool) -> DayBox:
    return DayBox(
        weekday=WEEKDAYS[day.day.weekday()],
        day=f"{day.day.day} {day.day:%b}" if day.day.day == 1 else str(day.day.day),
        status=day.status.value,
        word=WORDS[day.status],
        detail=_detail(day),
        later=later,
        today=today,
    )


def _detail(day: Day) -> str:
    logged = day.logged
    if logged.bouts_done or logged.bouts_partial:
        return f"{bouts_said(day)}, {logged.contractions} contr."
    if logged.excused:
        return "a mark was still there"
    return ""
