"""A few numbers in short: lowest, middle, highest. The middle is the median: one wild
bout must not move it."""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median


@dataclass(frozen=True, slots=True)
class Spread:
    lowest: float
    median: float
    highest: float
    count: int


def spread(values: Iterable[float]) -> Spread | None:
    """None where there is nothing to sum up."""
    found = sorted(values)
    return Spread(found[0], median(found), found[-1], len(found)) if found else None
