"""Exercises against what the surgeon allows. Findings, never a permission.

Movement with the current on waits for the surgeon's yes; standing with the
current on needs support (common practice, no source).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from homeprogram.calc.findings import NOTICE, OUTSIDE, Finding, note
from homeprogram.calc.guidance import Source

PRACTICE = Source("Common practice, no source")
MOVES = {"concentric", "eccentric"}
KINDS = (
    "weight_bearing",
    "range_of_motion",
    "brace",
    "graft",
    "meniscal_repair",
    "extensor_repair",
    "movement",
    "maximal_test",
)
REPAIRS = {"graft", "meniscal_repair", "extensor_repair"}


@dataclass(frozen=True, slots=True)
class SurgeonLimit:
    """One limit or clearance as told, with its days and, where given, its angles. [deg]"""

    kind: str
    detail: str
    said_by: str
    first_day: date
    last_day: date | None = None
    from_deg: float | None = None
    to_deg: float | None = None

    def holds_on(self, day: date) -> bool:
        return self.first_day <= day and (self.last_day is None or day <= self.last_day)


def exercise_findings(
    exercises: Iterable[Mapping],
    *,
    knee_angle_deg: float | None,
    pathway: str,
    limits: Iterable[SurgeonLimit],
    day: date,
) -> list[Finding]:
    """One finding for each thing the surgeon's limits of that day do not cover."""
    standing = [limit for limit in limits if limit.holds_on(day)]
    exercises = list(exercises)
    return [
        *_movement(exercises, pathway, standing),
        *_angle(knee_angle_deg, standing),
        *_standing(exercises, standing),
        *_repairs(standing),
    ]


def _movement(exercises: list[Mapping], pathway: str, limits: list[SurgeonLimit]) -> list[Finding]:
    moving = [e["name"] for e in exercises if e["contraction_type"] in MOVES]
    cleared = any(limit.kind == "movement" for limit in limits)
    if not moving or cleared or pathway != "post_operative":
        return []
    message = (
        f"{', '.join(moving)}: movement with the current on, but no clearance for movement "
        "is on file. Isometric until the surgeon allows it."
    )
    return [
        note(
            "movement_not_cleared", message, level=OUTSIDE, source=PRACTICE, mark="common practice"
        )
    ]


def _angle(angle: float | None, limits: list[SurgeonLimit]) -> list[Finding]:
    return [
        note(
            "angle_outside_limit",
            f"Knee angle {angle:g}°: {limit.said_by} allows {limit.from_deg:g}° to "
            f"{limit.to_deg:g}° ({limit.detail}).",
            level=OUTSIDE,
            source=Source(limit.said_by),
            mark="clinic",
        )
        for limit in limits
        if limit.kind == "range_of_motion"
        and None not in (angle, limit.from_deg, limit.to_deg)
        and not limit.from_deg <= angle <= limit.to_deg
    ]


def _standing(exercises: list[Mapping], limits: list[SurgeonLimit]) -> list[Finding]:
    upright = [e["name"] for e in exercises if e.get("standing")]
    if not upright:
        return []
    told = [limit for limit in limits if limit.kind == "weight_bearing"]
    load = f" Weight-bearing: {told[-1].detail}." if told else ""
    message = f"{', '.join(upright)}: standing with the current on needs a firm support.{load}"
    return [
        note(
            "standing_needs_support", message, level=NOTICE, source=PRACTICE, mark="common practice"
        )
    ]


def _repairs(limits: list[SurgeonLimit]) -> list[Finding]:
    return [
        note(
            f"{limit.kind}_protected",
            f"{limit.kind.replace('_', ' ')}: {limit.detail} ({limit.said_by}). "
            "Keep torque and angle within it.",
            level=NOTICE,
            source=Source(limit.said_by),
            mark="clinic",
        )
        for limit in limits
        if limit.kind in REPAIRS
    ]
