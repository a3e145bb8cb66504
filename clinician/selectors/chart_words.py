"""What a chart shows, in words, from the same numbers."""

from collections.abc import Iterator, Sequence
from datetime import date
from statistics import median

from clinician.selectors.words import day_short, number, plural
from homeprogram.calc.course_numbers import Line, Measure
from homeprogram.calc.limits import RUN_FALSE_SIGNALS, RUN_POINTS_MIN
from homeprogram.calc.run_chart import RunChart, run_chart

FALSE_SIGNALS = f"{RUN_FALSE_SIGNALS[0]} to {RUN_FALSE_SIGNALS[1]}"


def measure_said(measure: Measure, days: Sequence[date]) -> str:
    return " ".join(
        part
        for place, line in enumerate(measure.lines)
        if not line.end
        for part in _line_said(measure, line, days, judged=place < measure.judged)
    )


def _line_said(
    measure: Measure, line: Line, days: Sequence[date], *, judged: bool
) -> Iterator[str]:
    known = line.known
    name = f"{line.name[0].upper()}{line.name[1:]}: " if len(measure.lines) > 1 else ""
    total = f"{number(sum(known))} in all" if measure.bars else ""
    if measure.bars and not judged:
        yield f"{name}{total}."
        return
    span = f"{number(min(known))} to {number(max(known))}, median {number(median(known))}"
    newest = max(place for place, value in enumerate(line.values) if value is not None)
    parts = [
        f"{plural(len(known), 'day')} of {len(days)} with a number",
        span if len(known) > 1 else "",
        total,
        f"newest {number(known[-1])} on {day_short(days[newest])}",
    ]
    yield f"{name}{', '.join(filter(None, parts))}."
    if judged:
        yield _judged(run_chart(known))


def _judged(found: RunChart) -> str:
    if not found.judged:
        return f"Too few points to judge its course ({found.useful} of {RUN_POINTS_MIN})."
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
    if signs:
        return f"Sign of a change: {' and '.join(signs)}."
    return "No sign of a change beyond chance."
