"""Whether values wander about their own median as chance alone would have them.

Two signs: a run on one side of the median longer than round(log2 n + 3), or
fewer crossings of it than the lower 5 % point of Binomial(n - 1, 1/2); n counts
the points off the median. Source: Anhoj and Olesen 2014, PLoS ONE
9(11):e113825, who find a false signal rate around 5 % whatever n, and the rule
of five or six points in a trend of no use. A sign says that something may have
changed, not what, and not which way.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import comb, log2
from statistics import median

from homeprogram.calc.limits import RUN_POINTS_MIN


@dataclass(frozen=True, slots=True)
class RunChart:
    """`useful` = points off the median. Limits are None where they are too few to judge."""

    median: float
    useful: int
    longest_run: int
    run_limit: int | None
    crossings: int
    crossings_limit: int | None

    @property
    def judged(self) -> bool:
        return self.run_limit is not None

    @property
    def long_run(self) -> bool:
        return self.judged and self.longest_run > self.run_limit

    @property
    def few_crossings(self) -> bool:
        return self.judged and self.crossings < self.crossings_limit

    @property
    def signal(self) -> bool:
        return self.long_run or self.few_crossings


def run_chart(values: Sequence[float]) -> RunChart | None:
    """In the order of time, gaps left out; None without a value."""
    if not values:
        return None
    middle = median(values)
    above = [value > middle for value in values if value != middle]
    judged = len(above) >= RUN_POINTS_MIN
    return RunChart(
        median=middle,
        useful=len(above),
        longest_run=max((len(list(run)) for _, run in groupby(above)), default=0),
        run_limit=run_limit(len(above)) if judged else None,
        crossings=sum(one != other for one, other in pairwise(above)),
        crossings_limit=crossings_limit(len(above)) if judged else None,
    )


def run_limit(useful: int) -> int:
    """The longest run that is still no sign. [count]"""
    return round(log2(useful) + 3)


def crossings_limit(useful: int) -> int:
    """The fewest crossings that are still no sign. [count]

    The smallest k with P(X <= k) >= 5 % for X ~ Binomial(useful - 1, 1/2).
    """
    trials, k, ways = useful - 1, 0, 1
    while 20 * ways < 2**trials:  # whole numbers: no rounding at the bound
        k += 1
        ways += comb(trials, k)
    return k
