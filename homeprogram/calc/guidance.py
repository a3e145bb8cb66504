"""Published and common-practice doses, ranges and limits, read from fixtures/guidance/.

Every figure carries its source and how sure we are of it. Ours are read-only;
a clinic keeps its own families in its own table.
"""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from homeprogram.calc.guidance_schema import check

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "guidance"


@dataclass(frozen=True)
class Source:
    """Where a figure is from; `doi` is None when there is none or it was not seen."""

    text: str
    doi: str | None = None


@dataclass(frozen=True)
class Range:
    """What one source says about one figure; an open end is None."""

    figure: str
    low: float | None
    high: float | None
    unit: str
    source: Source
    mark: str
    means: str = ""


@dataclass(frozen=True)
class Family:
    """A dose to start from, or, as a `reference`, one to compare with.

    A figure that a reference does not state is None. `mark_of` says how sure
    each figure is.
    """

    code: str
    name: str
    kind: str
    pathways: tuple[str, ...]
    procedures: tuple[str, ...]
    frequency_hz: float | None
    phase_duration_us: float | None
    waveform: str | None
    on_s: float | None
    off_s: float | None
    ramp_up_s: float | None
    ramp_down_s: float | None
    ramps_inside_on: bool | None
    contractions_per_bout: int | None
    bout_min: float | None
    bouts_per_day: int | None
    days_per_week: int | None
    weeks: int | None
    knee_angle_deg: float | None
    position: str | None
    electrode_cm2: float | None
    source: Source
    mark: str
    marks: MappingProxyType
    ranges: tuple[Range, ...]
    disagreements: tuple[str, ...]
    notes: str

    def mark_of(self, figure: str) -> str:
        """How sure one figure is: read, memory or common practice."""
        return self.marks.get(figure, self.mark)

    def range_of(self, figure: str) -> Range | None:
        """What the family's own source allows for one figure."""
        return next((r for r in self.ranges if r.figure == figure), None)


def families() -> tuple[Family, ...]:
    """The protocol families a program may start from, in the order to offer them."""
    return _families("families.json")


def references() -> tuple[Family, ...]:
    """Published protocols to compare with; some figures are None."""
    return _families("references.json")


def family(code: str) -> Family:
    """The family or reference of that code; KeyError when there is none."""
    for candidate in families() + references():
        if candidate.code == code:
            return candidate
    raise KeyError(code)


def load(name: str) -> dict:
    """One guidance file, parsed and checked. ValueError says what is wrong in it."""
    document = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    check(name, document)
    return document


@cache
def _families(name: str) -> tuple[Family, ...]:
    return tuple(_family(row) for row in load(name)["families"])


def _family(row: dict) -> Family:
    return Family(
        **{
            **row,
            "pathways": tuple(row["pathways"]),
            "procedures": tuple(row["procedures"]),
            "source": Source(**row["source"]),
            "marks": MappingProxyType(row["marks"]),
            "ranges": tuple(range_from(item) for item in row["ranges"]),
            "disagreements": tuple(row["disagreements"]),
        }
    )


def range_from(row: dict) -> Range:
    """A `Range` from its JSON form; fields that are not its own are left out."""
    names = ("figure", "low", "high", "unit", "mark", "means")
    return Range(source=Source(**row["source"]), **{name: row[name] for name in names})
