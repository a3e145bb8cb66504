"""Published and common-practice doses, ranges and limits, read from fixtures/guidance/.

Every figure carries its source and how sure we are of it. Ours are read-only;
a clinic keeps its own families in its own table.
"""

import json
from dataclasses import dataclass, replace
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
class GeneralRange(Range):
    """A range that holds for every family, or for the pathways it names.

    `below` and `above` say what it means to lie outside.
    """

    code: str = ""
    pathways: tuple[str, ...] = ()
    below: str = ""
    above: str = ""


@dataclass(frozen=True)
class Limit:
    """A bound on one quantity and what crossing it means."""

    code: str
    quantity: str
    value: float
    unit: str
    level: str
    source: Source
    mark: str
    means: str


@dataclass(frozen=True)
class Method:
    """How a strength test was done, and the smallest change beyond its error. [%]"""

    code: str
    name: str
    mdc_pct: float
    low: float
    high: float
    aliases: tuple[str, ...]
    source: Source
    mark: str
    means: str


@dataclass(frozen=True)
class Condition:
    """One question of the screening for stimulation at the thigh.

    override  none, named_reason or specialist_opinion: what it takes to go on
              in spite of a contraindication
    """

    code: str
    name: str
    question: str
    grade: str
    override: str
    action: str
    source: Source
    mark: str
    disagreement: str


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


@cache
def general_ranges() -> tuple[GeneralRange, ...]:
    """What guidelines, reviews and common practice say, whatever the family."""
    return tuple(_record(GeneralRange, row) for row in load("ranges.json")["ranges"])


@cache
def limits() -> MappingProxyType:
    """Limits of dose, strength and course by code."""
    rows = [_record(Limit, row) for row in load("limits.json")["limits"]]
    return MappingProxyType({row.code: row for row in rows})


@cache
def methods() -> tuple[Method, ...]:
    """The ways of testing strength whose error somebody printed."""
    return tuple(_record(Method, row) for row in load("methods.json")["methods"])


def method(name: str) -> Method | None:
    """The method of that code or alias; None when its error is not known."""
    key = name.strip().lower().replace("-", "_").replace(" ", "_")
    return next((m for m in methods() if key in (m.code, *m.aliases)), None)


@cache
def screening_conditions() -> tuple[Condition, ...]:
    """Contraindications and precautions for the thigh, in the order to ask."""
    rows = load("screening.json")["conditions"]
    return tuple(_record(Condition, row) for row in rows)


def load(name: str) -> dict:
    """One guidance file, parsed and checked. ValueError says what is wrong in it."""
    document = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    check(name, document)
    return document


@cache
def _families(name: str) -> tuple[Family, ...]:
    return tuple(family_from(row) for row in load(name)["families"])


def family_from(row: dict) -> Family:
    """A `Family` from its JSON form, ours or a clinic's own."""
    ranges = tuple(_record(Range, item) for item in row["ranges"])
    plain = {**row, "ranges": [], "marks": MappingProxyType(row["marks"])}
    return replace(_record(Family, plain), ranges=ranges)


def _record(kind: type, row: dict) -> object:
    fields = {
        name: tuple(value) if isinstance(value, list) else value for name, value in row.items()
    }
    return kind(**{**fields, "source": Source(**row["source"])})
