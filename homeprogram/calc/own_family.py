"""A clinic's own protocol family in the shape of ours, to compare a dose with."""

from collections.abc import Mapping
from dataclasses import fields
from types import MappingProxyType

from homeprogram.calc.guidance import Family, Range, Source

CLINIC_MARK = "clinic"
UNITS = {
    "frequency_hz": "Hz",
    "phase_duration_us": "µs",
    "on_s": "s",
    "off_s": "s",
    "ramp_up_s": "s",
    "bout_min": "min",
    "contractions_per_bout": "contractions",
    "bouts_per_day": "bouts",
    "days_per_week": "days",
    "weeks": "weeks",
}


def own_family(*, code: str, name: str, source: str, values: Mapping) -> Family:
    """A family from the figures a clinic stored under their names.

    A figure alone is its own range; `values["ranges"]` may widen it as
    {figure: [low, high]}. Names that are none of a family's are left out.
    """
    cited = Source(source or "The clinic's own values")
    figures = {field.name: None for field in fields(Family)}
    figures |= {key: value for key, value in values.items() if key in figures}
    figures |= {
        "code": code,
        "name": name,
        "kind": "family",
        "pathways": tuple(values.get("pathways") or ()),
        "procedures": tuple(values.get("procedures") or ()),
        "source": cited,
        "mark": CLINIC_MARK,
        "marks": MappingProxyType({}),
        "ranges": tuple(_ranges(values, cited)),
        "disagreements": (),
        "notes": values.get("notes") or "",
    }
    return Family(**figures)


def _ranges(values: Mapping, source: Source) -> list[Range]:
    spans = {figure: [values[figure]] * 2 for figure in UNITS if values.get(figure) is not None}
    spans |= values.get("ranges") or {}
    return [
        Range(figure, low, high, UNITS[figure], source, CLINIC_MARK)
        for figure, (low, high) in spans.items()
        if figure in UNITS
    ]
