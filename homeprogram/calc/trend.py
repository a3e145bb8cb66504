"""A straight line through strength tests, with how sure it is. No forecast.

Ordinary least squares; the band is the 95 % confidence band of the mean line,
drawn at the days that were tested and nowhere else.
"""

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist, fmean, linear_regression

MINIMUM_TESTS = 3  # two points always lie on a line: they carry no error

# Two-sided 95 % points of Student's t, 1 to 30 degrees of freedom, as printed
# in any table (e.g. NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2).
T_95 = (
    12.7062, 4.3027, 3.1824, 2.7764, 2.5706, 2.4469, 2.3646, 2.3060, 2.2622, 2.2281,
    2.2010, 2.1788, 2.1604, 2.1448, 2.1314, 2.1199, 2.1098, 2.1009, 2.0930, 2.0860,
    2.0796, 2.0739, 2.0687, 2.0639, 2.0595, 2.0555, 2.0518, 2.0484, 2.0452, 2.0423,
)  # fmt: skip


@dataclass(frozen=True)
class BandPoint:
    """The line at one tested day, and the ends of its band."""

    day: int
    fitted: float
    low: float
    high: float


@dataclass(frozen=True)
class Trend:
    """`per_week` is the slope; `sure` says that its 95 % interval leaves out zero."""

    per_week: float
    per_week_low: float
    per_week_high: float
    points: tuple[BandPoint, ...]

    @property
    def sure(self) -> bool:
        return self.per_week_low > 0 or self.per_week_high < 0


def student_t_95(freedom: int) -> float:
    """Two-sided 95 % point of Student's t. [1]

    Tabled to 30 degrees of freedom, beyond them Fisher and Cornish's expansion
    (wrong by less than 0.0001 there).
    """
    if freedom <= len(T_95):
        return T_95[freedom - 1]
    z = NormalDist().inv_cdf(0.975)
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    return z + first / freedom + second / freedom**2


def trend(tests: list[tuple[int, float]]) -> Trend | None:
    """The line through (day number, value) and its band; None when too few.

    Too few: under three tests, or all on one day.
    """
    days = [day for day, _ in tests]
    if len(tests) < MINIMUM_TESTS or len(set(days)) == 1:
        return None
    values = [value for _, value in tests]
    slope, intercept = linear_regression(days, values)
    return _with_band(days, values, slope, intercept)


def _with_band(days: list[int], values: list[float], slope: float, intercept: float) -> Trend:
    middle = fmean(days)
    spread = sum((day - middle) ** 2 for day in days)
    error = _residual_error(days, values, slope, intercept)
    t = student_t_95(len(days) - 2)

    def point(day: int) -> BandPoint:
        fitted = intercept + slope * day
        half = t * error * sqrt(1 / len(days) + (day - middle) ** 2 / spread)
        return BandPoint(day, fitted, fitted - half, fitted + half)

    half_slope = t * error / sqrt(spread)
    return Trend(
        per_week=7 * slope,
        per_week_low=7 * (slope - half_slope),
        per_week_high=7 * (slope + half_slope),
        points=tuple(point(day) for day in sorted(set(days))),
    )


def _residual_error(days: list[int], values: list[float], slope: float, intercept: float) -> float:
    squares = sum(
        (value - intercept - slope * day) ** 2 for day, value in zip(days, values, strict=True)
    )
    return sqrt(squares / (len(days) - 2))
