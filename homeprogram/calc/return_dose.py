"""The dose after a pause: what was said when the pause began, else the usual step down.

After seven days off the current starts at 80 % of before (common practice, no source;
see `first_dose`). The figures start a new revision; a clinician reads and saves it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from homeprogram.calc.first_dose import DAYS_OFF_BEFORE_STEP_DOWN, STEP_DOWN_SHARE

LEVELS = ("start", "floor", "ceiling")
RETURN_PCT = (10, 100)  # [%] least and most that may be said; common practice, no source


@dataclass(frozen=True, slots=True)
class ReturnDose:
    """Of the dose before the pause. [%]"""

    contractions_pct: int
    current_pct: int

    @property
    def as_before(self) -> bool:
        return self.contractions_pct == 100 and self.current_pct == 100


def days_off(first_day: date, last_day: date) -> int:
    return (last_day - first_day).days + 1


def usual_return(off: int) -> ReturnDose:
    """`off` = days of the pause."""
    long = off >= DAYS_OFF_BEFORE_STEP_DOWN
    return ReturnDose(100, round(100 * STEP_DOWN_SHARE) if long else 100)


def fewer_contractions(count: int, dose: ReturnDose) -> int:
    """At least one; rounded up."""
    return max(1, ceil(count * dose.contractions_pct / 100))


def lower_current(intensity: Sequence[dict], dose: ReturnDose) -> list[dict]:
    """Each level of each channel, cut to a half unit, never above what it was; order kept."""
    return [
        one
        | {
            level: int(one[level] * dose.current_pct / 100 * 2) / 2
            for level in LEVELS
            if one.get(level) is not None
        }
        for one in intensity
    ]
