"""What a chart shows, in words, from the same numbers."""

from collections.abc import Sequence
from datetime import date
from statistics import median

from clinician.selectors.words import day_short, listed, number, plural
from homeprogram.calc.course_numbers import Line, Measure
from homeprogram.calc.limits import RUN_FALSE_SIGNALS, RUN_POINTS_MIN
from homeprogram.calc.run_chart import RunChart, run_chart

FALSE_SIGNALS = f"{RUN_FALSE_SIGNALS[0]} to {RUN_FALSE_SIGNALS[1]}"


def measure_said(measure: Measure, days: Sequence[date]) -> str:
    """What there is, line by line."""
    named = len(measure.lines) > 1
    return " ".join(
        f"{_name(line) if named else ''}{_line_said(measure, line, days, at)}"
        for at, line in enumerate(measure.lines)
        if not line.end
    )


def signs_said(measure: Measure) -> str:
    """Which lines do not wander as chance would have them; mostly empty."""
    named = len(measure.lines) > 1
    judged = [(line, run_chart(line.known)) for line in measure.lines[: measure.judged]]
    return " ".join(
        f"{_name(line) if named else ''}{_sign(found)}." for line, found in judged if found.signal
    )


def _name(line: Line) -> str:
    return f"{line.name[0].upper()}{line.name[1:]}: "


def _line_said(measure: Measure, line: Line, days: Sequence[date], at: int) -> str:
    known = line.known
    total = f"{number(sum(known))} in all" if measure.bars else ""
    judged = at < measure.judged
    if measure.bars and not judged:
        return f"{total}."
    newest = max(place for place, value in enumerate(line.values) if value is not None)
    parts = [
        f"{plural(len(known), 'day')} of {len(days)} with a number",
        _span(known),
        total,
        f"newest {number(known[-1])} on {day_short(days[newest])}",
    ]
    return f"{', '.join(filter(None, parts))}.{_judged(run_chart(known)) if judged else ''}"


def _span(known: Sequence[float]) -> str:
    low, high = min(known), max(known)
    if len(known) == 1:
        return ""
    if low == high:
        return f"always {number(low)}"
    return f"{number(low)} to {number(high)}, median {number(median(known))}"


def _judged(found: RunChart) -> str:
    if not found.judged:
        few = f"{found.useful} of {RUN_POINTS_MIN}"
        return f" Too few points beside the median to judge its course ({few})."
    return "" if found.signal else " No sign of a change beyond chance."


def _sign(found: RunChart) -> str:
    signs = []
    if found.long_run:
        signs.append(
            f"{found.longest_run} points running on one side of the median "
            f"(up to {found.run_limit} may be chance)"
        )
    if found.few_crossings:
        signs.append(
            f"{plural(found.crossings, 'crossing')} of the median "
            f"(down to {found.crossings_limit} may be chance)"
        )
    return listed(signs)
