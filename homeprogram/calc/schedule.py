"""What is due on which day: revisions, weekdays, pauses, holds."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

WEEKDAYS_BY_COUNT = {7: (0, 1, 2, 3, 4, 5, 6), 5: (0, 1, 2, 3, 4), 3: (0, 2, 4)}


@dataclass(frozen=True, slots=True)
class PlannedRevision:
    """A revision as the schedule needs it. `named_on`: day a push first named it."""

    id: str
    number: int
    first_day: date
    named_on: date | None
    weekdays: tuple[int, ...]  # Monday = 0
    bouts_per_day: int
    contractions_per_bout: int

    @property
    def effective_from(self) -> date | None:
        """The later of its first day and the day after the phone named it."""
        if self.named_on is None:
            return None
        return max(self.first_day, self.named_on + timedelta(days=1))


@dataclass(frozen=True, slots=True)
class Span:
    """Days from first to last, both included; last None = still going on."""

    first_day: date
    last_day: date | None

    def covers(self, day: date) -> bool:
        return self.first_day <= day and (self.last_day is None or day <= self.last_day)


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything that decides what is due for one episode."""

    revisions: tuple[PlannedRevision, ...]
    ended_on: date | None
    pauses: tuple[Span, ...]  # pauses and holds alike


@dataclass(frozen=True, slots=True)
class DueDay:
    """Bouts and contractions due that day; `paused` and off days are due nothing.

    `per_day` is what the program asks of a due day. It is set on off days too:
    a bout done there counts towards the week, up to that many.
    """

    due: int = 0
    contractions: int = 0
    paused: bool = False
    per_day: int = 0
    contractions_per_day: int = 0
    revision_id: str | None = None


NOTHING_DUE = DueDay()


def default_weekdays(days_a_week: int) -> tuple[int, ...]:
    """Usual weekdays for a count: 7 all, 5 Monday-Friday, 3 Monday/Wednesday/Friday."""
    if days_a_week in WEEKDAYS_BY_COUNT:
        return WEEKDAYS_BY_COUNT[days_a_week]
    if not 1 <= days_a_week <= 7:
        raise ValueError(f"A week has 1 to 7 due days, not {days_a_week}.")
    return tuple(round(i * 7 / days_a_week) for i in range(days_a_week))


def effective_revision(revisions: Sequence[PlannedRevision], day: date) -> PlannedRevision | None:
    """The highest-numbered revision in effect that day."""
    in_effect = [r for r in revisions if r.effective_from and r.effective_from <= day]
    return max(in_effect, key=lambda r: r.number, default=None)


def due_on(plan: Plan, day: date) -> DueDay:
    """What the patient owes on that day; nothing on paused and off days."""
    revision = effective_revision(plan.revisions, day)
    if revision is None or (plan.ended_on and day > plan.ended_on):
        return NOTHING_DUE
    per_day = revision.bouts_per_day
    contractions_per_day = per_day * revision.contractions_per_bout
    paused = any(span.covers(day) for span in plan.pauses)
    is_due = not paused and day.weekday() in revision.weekdays
    return DueDay(
        due=per_day if is_due else 0,
        contractions=contractions_per_day if is_due else 0,
        paused=paused,
        per_day=per_day,
        contractions_per_day=contractions_per_day,
        revision_id=revision.id,
    )
