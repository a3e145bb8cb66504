"""What is measured at a visit: common practice, no source; each with unit and plausible range.

The ranges catch slips of the keyboard and of the unit. They say nothing about a knee.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from homeprogram.errors import RuleBroken


@dataclass(frozen=True, slots=True)
class Measure:
    """One figure; `low` and `high` are what a living knee or thigh can plausibly give."""

    code: str
    name: str
    unit: str
    low: float
    high: float
    how: str = ""


FIGURES = (
    Measure("knee_pain", "Knee pain", "of 10", 0, 10, "Now, at rest."),
    Measure("flexion_deg", "Flexion", "°", 0, 170),
    Measure("extension_deg", "Extension", "°", -30, 90, "0 = straight, minus = beyond."),
    Measure("lag_deg", "Quadriceps lag", "°", 0, 90, "Passive less active extension."),
    Measure("girth_cm", "Thigh girth", "cm", 20, 110, "This limb, relaxed."),
    Measure("girth_other_cm", "Thigh girth, other limb", "cm", 20, 110),
    Measure("girth_at_cm", "Measured above the kneecap", "cm", 3, 30, "From its upper edge."),
)
BY_CODE = {one.code: one for one in FIGURES}
# The stroke test for swelling, in the words of the trade.
SWELLING = {
    "0": "no wave",
    "trace": "trace: a small wave",
    "1+": "1+: a larger bulge",
    "2+": "2+: fills again by itself",
    "3+": "3+: too much to move",
}


def checked(measures: Mapping[str, object]) -> dict[str, object]:
    """What was measured, without what was left out. Raises RuleBroken, naming each field."""
    said = {code: value for code, value in measures.items() if value not in (None, "")}
    fields = {}
    for code, value in said.items():
        if code == "swelling":
            known = value in SWELLING
        else:
            known = code in BY_CODE and BY_CODE[code].low <= value <= BY_CODE[code].high
        if not known:
            fields[code] = "This cannot be meant. Look at the figure and its unit."
    girth = {"girth_cm", "girth_other_cm"} & said.keys()
    if not girth:
        said.pop("girth_at_cm", None)  # a place where nothing was measured
    if girth and "girth_at_cm" not in said:
        fields["girth_at_cm"] = (
            "Say how far above the kneecap; without it nobody can measure again."
        )
    if fields:
        message = " ".join(dict.fromkeys(fields.values()))
        raise RuleBroken(message, code="measure_invalid", fields=fields)
    return said
