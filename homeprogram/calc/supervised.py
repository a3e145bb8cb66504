"""A bout under a clinician's eyes counts once, whoever else tells of it."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date

from homeprogram.calc.day_status import DayCounts
from homeprogram.calc.repeats import Timed, meet


@dataclass(frozen=True, slots=True)
class Supervised:
    """`timed` by the wall clock where the patient lives; `on_phone` = the phone tells of it too."""

    timed: Timed
    on: date
    contractions: int
    complete: bool
    at_floor: bool
    on_phone: bool


def untold(seen: Collection[Supervised], logged: Collection[Timed]) -> list[Supervised]:
    """Those that no bout of the day's log is.

    One that overlaps a logged bout, or begins within ten minutes of it, is that bout
    (the rule by which two logged bouts are called a possible repeat). One that the
    clinician says is on the phone is any bout of the day, because the patient may have
    guessed the time; until that entry comes, it counts.
    """
    return [one for one in seen if not _told(one, logged)]


def _told(one: Supervised, logged: Collection[Timed]) -> bool:
    same_limb = [bout for bout in logged if bout.episode_id == one.timed.episode_id]
    return bool(same_limb) and (one.on_phone or any(meet(one.timed, b) for b in same_limb))


def with_supervised(
    counts: DayCounts, seen: Collection[Supervised], logged: Collection[Timed]
) -> DayCounts:
    """The day's counts with what only the clinic knows."""
    for one in untold(seen, logged):
        counts = replace(
            counts,
            bouts_done=counts.bouts_done + one.complete,
            bouts_partial=counts.bouts_partial + (not one.complete),
            contractions=counts.contractions + one.contractions,
            minutes=counts.minutes + one.timed.minutes,
            at_floor=counts.at_floor + one.at_floor,
        )
    return counts
