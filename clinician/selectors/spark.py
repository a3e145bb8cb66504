"""Small lines beside the strip: one point a day, a gap where nothing was logged.

All lines of a kind on the panel share one scale from zero, so that two patients can
be compared by eye; the scale is printed on top.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

WIDTH, HEIGHT, PAD = 168, 22, 3  # [px]
STEP = 20  # tops of scales are multiples of it
DISCOMFORT_TOP = 10


@dataclass(frozen=True, slots=True)
class Scale:
    """From zero to `top`, for every line that is drawn on it."""

    kind: str
    what: str
    top: float
    unit: str

    @property
    def words(self) -> str:
        return f"{self.what.lower()} 0 to {self.top:g} {self.unit.removeprefix('of 10')}".strip()

    @property
    def before(self) -> str:
        """What stands before a value; a current says what it is by its unit."""
        return f"{self.what.lower()} " if self.kind == "discomfort" else ""


@dataclass(frozen=True, slots=True)
class Line:
    """One line, ready to draw: runs of neighbouring days, and single days as dots."""

    kind: str  # how it is drawn
    runs: list[str]  # "x,y x,y": days that follow each other
    dots: list[tuple[float, float]]
    label: str
    newest: str


def scale_for(kind: str, what: str, values: Iterable[float], unit: str) -> Scale:
    """The least multiple of STEP that holds every value."""
    return Scale(kind, what, STEP * max(1, ceil(max(values, default=0) / STEP)), unit)


def line_of(values: dict[date, float], days: Sequence[date], scale: Scale) -> Line | None:
    """None where there is nothing to draw; a day without a value is a gap, never zero."""
    known = [day for day in days if day in values]
    if not known:
        return None
    spots = {day: _spot(place, values[day], len(days), scale) for place, day in enumerate(days)
             if day in values}  # fmt: skip
    runs = _runs(days, spots)
    newest = values[known[-1]]
    low, high = min(values[d] for d in known), max(values[d] for d in known)
    span = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return Line(
        kind=scale.kind,
        runs=[" ".join(f"{x:g},{y:g}" for x, y in run) for run in runs if len(run) > 1],
        dots=[run[0] for run in runs if len(run) == 1],
        label=f"{scale.what}: {span} {scale.unit} as the most of a day, last {newest:g}; "
        f"{len(known)} of {len(days)} days",
        newest=f"{scale.before}{newest:g} {scale.unit}",
    )


def _spot(place: int, value: float, days: int, scale: Scale) -> tuple[float, float]:
    wide, high = WIDTH - 2 * PAD, HEIGHT - 2 * PAD
    share = min(value, scale.top) / scale.top
    return round(PAD + wide * place / (days - 1), 1), round(HEIGHT - PAD - high * share, 1)


def _runs(days: Sequence[date], spots: dict[date, tuple[float, float]]) -> list[list]:
    runs, run = [], []
    for day in days:
        if day in spots:
            run.append(spots[day])
        elif run:
            runs.append(run)
            run = []
    return [*runs, run] if run else runs
