"""What a month held for one patient, in plain counts. What they are good for, no rule here knows.

Days are the patient's own calendar days. Ways of contact that are live, and that a
letter is none, are common practice, no source.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

LIVE = frozenset({"telephone", "clinic", "home", "video"})


@dataclass(frozen=True, slots=True)
class LoggedOn:
    """An entry that stands: the day it is about, and the day it was made on the phone."""

    about: date
    made: date


@dataclass(frozen=True, slots=True)
class ContactOn:
    """A contact as it stands; `had` = somebody spoke, or it was sent and received."""

    on: date
    way: str
    had: bool
    minutes: int | None


@dataclass(frozen=True, slots=True)
class MonthCounts:
    days_with_data: int = 0  # days that at least one entry is about
    days_made: int = 0  # days on which at least one entry was made
    contacts: int = 0
    tries: int = 0  # nobody reached, or only asked to call back
    minutes: int = 0  # of contacts that were had and timed
    untimed: int = 0  # contacts that were had and not timed
    live_days: int = 0  # days with a live contact that was had


def month_counts(
    entries: Iterable[LoggedOn], contacts: Iterable[ContactOn], month: date
) -> MonthCounts:
    """`month` = any day of it. Days of another month are left out."""

    def within(day: date) -> bool:
        return (day.year, day.month) == (month.year, month.month)

    entries = list(entries)
    mine = [one for one in contacts if within(one.on)]
    had = [one for one in mine if one.had]
    return MonthCounts(
        days_with_data=len({one.about for one in entries if within(one.about)}),
        days_made=len({one.made for one in entries if within(one.made)}),
        contacts=len(had),
        tries=len(mine) - len(had),
        minutes=sum(one.minutes or 0 for one in had),
        untimed=sum(one.minutes is None for one in had),
        live_days=len({one.on for one in had if one.way in LIVE}),
    )
