"""The trail of decisions and notes, ready to print."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors.words import days_said, moment_long
from homeprogram.models import Decision, DecisionKind

ON_NOTES = {DecisionKind.NOTE, DecisionKind.ADDENDUM}


@dataclass(frozen=True, slots=True)
class DecisionLine:
    kind: str
    title: str
    limb: str
    words: str
    made: str
    note_id: UUID | None
    review_id: UUID | None
    discharge_id: UUID | None


def decision_lines(decisions: Iterable[Decision], zone: ZoneInfo) -> list[DecisionLine]:
    """Newest first."""
    newest = sorted(decisions, key=lambda row: (row.at, row.pk), reverse=True)
    return [_line(row, zone) for row in newest]


def _line(row: Decision, zone: ZoneInfo) -> DecisionLine:
    return DecisionLine(
        kind=row.kind,
        title=row.get_kind_display().capitalize(),
        limb=row.episode.limb.upper() if row.episode else "",
        words=days_said(row.words),
        made=f"{row.by.name}, {moment_long(row.at, zone)}",
        note_id=row.about if row.kind in ON_NOTES else None,
        review_id=row.about if row.kind == DecisionKind.REVIEW else None,
        discharge_id=row.about if row.kind == DecisionKind.END else None,
    )
