"""Due days as one weekly rule with days left out, as a calendar file says them."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from homeprogram.calc.days import days_between


@dataclass(frozen=True, slots=True)
class CalendarRule:
    """These weekdays from first to last, both of them due, without `left_out`."""

    first: date
    last: date
    weekdays: tuple[int, ...]  # Monday = 0
    left_out: tuple[date, ...]


def calendar_rule(due_days: Collection[date]) -> CalendarRule | None:
    """One rule for all of them, so that a later file takes the place of this one as a whole."""
    if not due_days:
        return None
    first, last = min(due_days), max(due_days)
    weekdays = {day.weekday() for day in due_days}
    left_out = [
        day
        for day in days_between(first, last)
        if day.weekday() in weekdays and day not in due_days
    ]
    return CalendarRule(first, last, tuple(sorted(weekdays)), tuple(left_out))
