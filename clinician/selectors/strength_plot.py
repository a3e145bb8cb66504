"""Strength over time as plain data for the plot, the table beside it and one sentence."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date

from clinician.selectors.strength_words import dated
from clinician.selectors.words import day_long, plural
from homeprogram.calc.guidance import limits
from homeprogram.calc.strength_check import course_rules
from homeprogram.calc.strength_course import Course, Point, course_of
from homeprogram.calc.trend import Trend
from homeprogram.models import Clinic, StrengthTest

DECIMALS = 1


@dataclass(frozen=True, slots=True)
class Plot:
    """`data` is what the drawing gets; `rows` the same numbers as a table."""

    data: dict
    unit: str
    rows: list[tuple[str, str, str, str, str]]
    said: str


def strength_plot(*, tests: Sequence[StrengthTest], clinic: Clinic) -> Plot | None:
    """None where no test has figures to draw."""
    measured = [test for test in tests if test.result]
    if not measured:
        return None
    course = course_of([dated(test) for test in measured])
    least = course_rules(clinic.course).lsi_pct
    return Plot(
        data=_data(course, least),
        unit=course.unit,
        rows=[_row(point) for point in course.points],
        said=_said(course, least),
    )


def _data(course: Course, least: float) -> dict:
    """Days count from the first test; a limb that was not tested is null: a gap."""
    first = course.points[0].on
    band = course.trend.points if course.trend else ()
    return {
        "first": first.isoformat(),
        "unit": course.unit,
        "points": [_plain(point, first) for point in course.points],
        "band": [
            {"day": one.day - first.toordinal(), "low": _round(one.low), "high": _round(one.high)}
            | {"fitted": _round(one.fitted)}
            for one in band
        ],
        "thresholds": [
            {"value": least, "label": f"{least:g} %: a course goes on until there"},
            {"value": limits()["lsi_sport"].value, "label": "90 %: asked for before sport"},
        ],
    }


def _plain(point: Point, first: date) -> dict:
    values = {
        name: _round(value) if isinstance(value, float | int) and name != "lsi_reliable" else value
        for name, value in asdict(point).items()
    }
    return values | {"on": point.on.isoformat(), "day": (point.on - first).days}


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, DECIMALS)


def _row(point: Point) -> tuple[str, str, str, str, str]:
    span = ""
    if point.lsi_low is not None:
        span = f"{_shown(point.lsi_low)} to {_shown(point.lsi_high)}"
    lsi = _shown(point.lsi)
    if point.lsi is not None and not point.lsi_reliable:
        lsi += " (unreliable)"
    return day_long(point.on), _shown(point.involved), _shown(point.uninvolved), lsi, span


def _shown(value: float | None) -> str:
    return "not tested" if value is None else f"{_round(value):g}"


def _said(course: Course, least: float) -> str:
    first, last = course.points[0], course.points[-1]
    said = [f"{plural(len(course.points), 'test')}, {_days(first, last)}."]
    known = [point.involved for point in course.points if point.involved is not None]
    if known:
        said.append(f"Involved limb: {_round(known[0]):g} {course.unit} first,")
        said.append(f"{_round(known[-1]):g} {course.unit} last.")
    if last.lsi is not None:
        said.append(f"Last LSI {int(last.lsi * 10) / 10:g} %, {_against(last, least)}.")
    said.append(_trend_said(course.trend, course.unit))
    return " ".join(said)


def _days(first: Point, last: Point) -> str:
    if first.on == last.on:
        return day_long(first.on)
    return f"{day_long(first.on)} to {day_long(last.on)}"


def _against(point: Point, least: float) -> str:
    if not point.lsi_reliable:
        return "unreliable because the other limb is not sound"
    if point.lsi_low is None:
        return f"{'at least' if point.lsi >= least else 'below'} {least:g} %"
    if point.lsi_low <= least <= point.lsi_high:
        return f"within measurement error of {least:g} %: borderline, repeat"
    return f"{'above' if point.lsi >= least else 'below'} {least:g} % beyond measurement error"


def _trend_said(line: Trend | None, unit: str) -> str:
    if line is None:
        return "Too few tests for a trend."
    span = f"95 % {line.per_week_low:.1f} to {line.per_week_high:.1f}"
    if not line.sure:
        return f"No clear trend ({line.per_week:+.1f} {unit} a week, {span})."
    return f"Trend of the involved limb {line.per_week:+.1f} {unit} a week ({span})."
