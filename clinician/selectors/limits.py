"""The surgeon's limits as the desk shows them, and what they say to an exercise."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from clinician.selectors.words import day_long
from homeprogram.calc.findings import Finding
from homeprogram.calc.surgeon_limits import exercise_findings
from homeprogram.models import Episode, LimitKind, SurgeonLimit
from homeprogram.selectors.prescribing import told_limits

KINDS = [(value, label.lower()) for value, label in LimitKind.choices]
CLEARANCES = {LimitKind.MOVEMENT, LimitKind.MAXIMAL_TEST}


@dataclass(frozen=True, slots=True)
class LimitLine:
    id: UUID
    kind: str
    detail: str
    told: str  # by whom, for which days, who wrote it down
    state: str  # today, later, over
    clearance: bool


def findings_for(
    episode: Episode,
    exercises: Iterable[Mapping],
    knee_angle_deg: float | None,
    day: date,
) -> list[Finding]:
    """What the limits that hold on `day` do not cover; exercises as a revision keeps them,
    with `standing` true for one done on one's feet."""
    return exercise_findings(
        exercises,
        knee_angle_deg=knee_angle_deg,
        pathway=episode.pathway,
        limits=told_limits(episode=episode),
        day=day,
    )


def limit_line(limit: SurgeonLimit, today: date) -> LimitLine:
    until = f" to {day_long(limit.last_day)}" if limit.last_day else ""
    return LimitLine(
        id=limit.id,
        kind=limit.get_kind_display().lower(),
        detail=f"{limit.detail}{_angles(limit)}",
        told=f"{limit.said_by}, from {day_long(limit.first_day)}{until} "
        f"(written down by {limit.recorded_by.name})",
        state=_state(limit, today),
        clearance=limit.kind in CLEARANCES,
    )


def _angles(limit: SurgeonLimit) -> str:
    if limit.from_deg is None or limit.to_deg is None:
        return ""
    return f" ({limit.from_deg:g}° to {limit.to_deg:g}°)"


def _state(limit: SurgeonLimit, today: date) -> str:
    if today < limit.first_day:
        return "later"
    return "over" if limit.last_day and limit.last_day < today else "today"
