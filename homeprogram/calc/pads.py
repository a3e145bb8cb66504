"""How often a set of pads was used, and when it is due. Pure; the phone counts the same way.

A use is a bout. A set is as old as the last "new pads" told for its limb; where
none was told, every bout counts that the phone still keeps. Shared cases: fixtures/rules/pads.json.
"""

from collections.abc import Iterable
from datetime import date, timedelta

PAD_NEWS = ("new", "wont_stick")


def uses_since(bouts: Iterable[tuple[date, int]], new_on: date | None) -> list[date]:
    """The day of each use of this set, oldest first. The day of the change counts."""
    return [
        day for day, count in sorted(bouts) if new_on is None or day >= new_on for _ in range(count)
    ]


def worn_on(
    uses: list[date], new_on: date | None, *, warn_at: int, lasts: int | None = None
) -> date | None:
    """The day of the use that makes a new set due, or None.

    Where nobody ever told of a new set, one more is due each time that a set `lasts`.
    What a phone keeps moves on with time: the day is then the Monday before, so that
    going on is news once a week at most.
    """
    if len(uses) < warn_at:
        return None
    sets_more = 0 if new_on or not lasts else (len(uses) - warn_at) // lasts
    day = uses[warn_at - 1 + sets_more * (lasts or 0)]
    return day if new_on else day - timedelta(days=day.weekday())
