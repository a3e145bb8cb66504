"""The panel's order: total, the same for everybody, explained in one line."""

from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from homeprogram.calc.flags import REASONS

# A hold that stands after its flag was closed comes before the quiet rows.
HOLD = "hold"
RANKS = (*REASONS, HOLD)
QUIET = len(RANKS)
NEVER = datetime.min.replace(tzinfo=UTC)
EXPLAINED = (
    "Order: stop report, skin reaction, something changed, needs a look, contact wanted, "
    "knee pain worse, discomfort worse, over the ceiling, over-use, missed days, under dose, "
    "current below effective, pads due, lost entries, held entry, no contact, "
    "stimulator at its limit, dose review, strength test, course review, hold; "
    "the flag open longest first. Then longest since review, then contact."
)


@dataclass(frozen=True, slots=True)
class Standing:
    """What decides where a patient stands on the panel."""

    id: UUID
    flags: tuple[tuple[str, datetime], ...]  # reason, open since
    held: bool
    reviewed_at: datetime | None
    heard_at: datetime | None


def place(reason: str) -> int:
    """A reason this list does not know yet stands with safety, never below."""
    return RANKS.index(reason) if reason in RANKS else 0


def rank(standing: Standing) -> int:
    """Place of the gravest reason."""
    places = [place(reason) for reason, _ in standing.flags]
    if standing.held:
        places.append(place(HOLD))
    return min(places, default=QUIET)


def panel_key(standing: Standing) -> tuple:
    """Sort by this; ties end with the id, so that two people see one list."""
    gravest = rank(standing)
    since = [at for reason, at in standing.flags if place(reason) == gravest]
    return (
        gravest,
        min(since, default=NEVER),
        standing.reviewed_at or NEVER,
        standing.heard_at or NEVER,
        standing.id,
    )
