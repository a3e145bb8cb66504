"""Strength tests of one limb side by side: what can be compared, and what changed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from homeprogram.calc import strength
from homeprogram.calc.trend import Trend, trend


@dataclass(frozen=True, slots=True)
class DatedTest:
    """One stored test: the request as sent, the reply as it was that day."""

    on: date
    request: dict
    result: dict


@dataclass(frozen=True, slots=True)
class Point:
    """One tested day in the unit of the course; what cannot be compared is None."""

    on: date
    involved: float | None
    uninvolved: float | None
    lsi: float | None
    lsi_low: float | None
    lsi_high: float | None
    lsi_reliable: bool


@dataclass(frozen=True, slots=True)
class Course:
    """`unit` is Nm or N. The trend is of the involved limb, at tested days only."""

    unit: str
    points: tuple[Point, ...]
    trend: Trend | None


@dataclass(frozen=True, slots=True)
class Change:
    """The involved limb against an earlier test. [%]; None where the two do not compare."""

    pct: float | None
    mdc_pct: float | None

    @property
    def within_error(self) -> bool | None:
        if self.pct is None or self.mdc_pct is None:
            return None
        return strength.within_error(self.pct, mdc_pct=self.mdc_pct)


def course_of(tests: Sequence[DatedTest]) -> Course:
    """Oldest first. Torque where the newest test gives one, else force."""
    measured = [test for test in tests if test.result.get("involved_mvic") is not None]
    unit = "Nm" if measured and _value(measured[-1], "involved_mvic", "Nm") is not None else "N"
    points = tuple(_point(test, unit) for test in tests)
    seen = [(p.on.toordinal(), p.involved) for p in points if p.involved is not None]
    return Course(unit, points, trend(seen))


def _point(test: DatedTest, unit: str) -> Point:
    lsi, mdc = test.result.get("lsi_pct"), test.result.get("mdc_pct")
    known = lsi is not None and mdc is not None
    error = strength.error_of_index(lsi, mdc_pct=mdc) if known else None
    return Point(
        on=test.on,
        involved=_value(test, "involved_mvic", unit),
        uninvolved=_value(test, "uninvolved_mvic", unit),
        lsi=lsi,
        lsi_low=lsi - error if known else None,
        lsi_high=lsi + error if known else None,
        lsi_reliable=test.request.get("other_limb") == "sound",
    )


def _value(test: DatedTest, name: str, unit: str) -> float | None:
    """An MVIC of the test in Nm or N; a torque is no force and the other way round."""
    value, given = test.result.get(name), test.request.get("unit")
    if value is None:
        return None
    if unit == "Nm":
        return strength.torque_nm(value, given, lever_arm_m=test.request.get("lever_arm_m"))
    return None if strength.is_torque(given) else strength.to_si(value, given)


def change(earlier: DatedTest, later: DatedTest) -> Change:
    """How the involved limb changed; only tests of one method and one kind compare."""
    if earlier.request.get("method") != later.request.get("method"):
        return Change(None, None)
    for unit in ("Nm", "N"):
        before, now = _value(earlier, "involved_mvic", unit), _value(later, "involved_mvic", unit)
        if before and now:
            return Change(100 * (now - before) / before, later.result.get("mdc_pct"))
    return Change(None, None)
