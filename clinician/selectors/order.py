"""The panel's order: total, the same for everybody, explained in one line."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from homeprogram.calc.flags import REASONS, SAFETY

# A hold that stands after its flag was closed comes before the quiet rows.
HOLD = "hold"
RANKS = (*REASONS, HOLD)
QUIET = len(RANKS)
NEVER = datetime.min.replace(tzinfo=UTC)
EXPLAINED = (
    "Order: safety, needs a look, contact, pain and discomfort, days and dose, pads and phone, "
    "reviews, hold; longest open first, then longest since review, then longest unheard."
)


@dataclass(frozen=True, slots=True)
class Course:
    """One open episode, as far as a place on the panel asks for it."""

    pathway: str
    week: int  # of the course, from 1; before surgery counted from the start of care


@dataclass(frozen=True, slots=True)
class Standing:
    """What decides where a patient stands on the panel, and whether they are shown."""

    id: UUID
    flags: tuple[tuple[str, datetime], ...]  # reason, open since
    held: bool
    reviewed_at: datetime | None
    heard_at: datetime | None
    name: str = ""
    clinician_id: UUID | None = None
    courses: tuple[Course, ...] = ()

    @property
    def safety(self) -> bool:
        """A reason that nobody has ranked yet counts as one about safety."""
        return any(reason in SAFETY or reason not in RANKS for reason, _ in self.flags)


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


def _newest_week(standing: Standing) -> int:
    return min((course.week for course in standing.courses), default=0)


# Other ways to sort, each with what it says on screen.
SORTS: Mapping[str, tuple[str, Callable[[Standing], object]]] = {
    "name": ("name", lambda one: one.name.casefold()),
    "review": ("longest since review", lambda one: one.reviewed_at or NEVER),
    "contact": ("longest since the phone was heard", lambda one: one.heard_at or NEVER),
    "week": ("week of the course", _newest_week),
}


def key_of(sort: str) -> Callable[[Standing], tuple]:
    """Whatever is asked for, safety stays on top, and ties end with the id."""
    if sort not in SORTS:
        return panel_key
    _, value = SORTS[sort]
    return lambda one: (0, *panel_key(one)) if one.safety else (1, value(one), one.id)


def explained(sort: str) -> str:
    if sort not in SORTS:
        return EXPLAINED
    words, _ = SORTS[sort]
    return f"Order: safety flags first, as ever; then by {words}."
