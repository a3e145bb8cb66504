"""A stimulator's usage counter beside the log: how far apart, never why.

Common practice, no source: within a tenth, and at the least half an hour or one
bout, they are called about the same; people round, and counters count in steps.
"""

from dataclasses import dataclass
from enum import StrEnum

SAME_SHARE = 0.1
SAME_LEAST = {"hours": 0.5, "bouts": 1.0}


class Usage(StrEnum):
    SAME = "same"
    COUNTER_MORE = "counter_more"
    LOG_MORE = "log_more"
    WENT_BACK = "went_back"  # below the reading before: reset, changed or misread


@dataclass(frozen=True, slots=True)
class Compared:
    """Both since the reading before, in the counter's unit; `apart` = how far."""

    word: Usage
    counter: float
    log: float

    @property
    def apart(self) -> float:
        """Of the two as they are shown, to a tenth: a reader can subtract."""
        return abs(round(self.counter, 1) - round(self.log, 1))


def compared(*, counts: str, before: float, reading: float, logged: float) -> Compared:
    """`logged` = hours or bouts in the log between the two readings."""
    rise = reading - before
    if rise < 0:
        return Compared(Usage.WENT_BACK, rise, logged)
    if abs(rise - logged) <= max(SAME_LEAST[counts], SAME_SHARE * max(rise, logged)):
        return Compared(Usage.SAME, rise, logged)
    return Compared(Usage.COUNTER_MORE if rise > logged else Usage.LOG_MORE, rise, logged)
