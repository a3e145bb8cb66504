"""How often a set of pads was used, and when it is due. Pure; the phone counts the same way.

A use is a bout. A set is as old as the last "new pads" told for its limb; where
none was told, every bout of the window counts. Shared cases: fixtures/rules/pads.json.
"""

from collections.abc import Iterable
from datetime import date, timedelta

PAD_NEWS = ("new", "wont_stick")


def uses_since(bouts: Iterable[tuple[date, int]], new_on: date | None) -> list[date]:
    """The day of each use of this set, oldest first. The day of the change counts."""
    return [
        day for day, count in sorted(bouts) if new_on is None or day >= new_on for _ in range(count)
    ]


def worn_on(uses: list[date], new_on: date | None, *, warn_at: int) -> date | None:
    """The day of the use that makes a new set due, or None.

    Of a set whose beginning nobody told only the window is known, and that moves:
    its day is then the Monday before, so that going on with it is news once a week.
    """
    if len(uses) < warn_at:
        return None
    day = uses[warn_at - 1]
    return day if new_on else day - timedelta(days=day.weekday())
