"""What a simulated patient does, day by day; offsets count from today, 0 = today."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, time
from random import Random

from clinician.demo.cast import Care, Habits, Member

SAME = {
    "colour": "same",
    "pattern": None,
    "raised": False,
    "itchy": False,
    "sore": False,
    "broken": False,
}
SLIGHT = SAME | {"colour": "slight", "pattern": "even"}
PATCHY = SAME | {"colour": "marked", "pattern": "patchy", "itchy": True}
RAISED = PATCHY | {"raised": True}
MORNING = time(7, 40)
EVENING_SYNC = time(20, 50)
NEW_PADS_EVERY = 8  # days


@dataclass
class LivedBout:
    """One bout as it went. `effort` runs from the start (0) to the ceiling (1)."""

    limb: str
    at: time
    effort: float
    discomfort: int
    pain_before: int
    pain_after: int
    share: float = 1.0
    ended_early: str | None = None
    skin_after: dict = field(default_factory=lambda: dict(SAME))
    helper: str | None = None
    note: str | None = None
    # Filled in once the phone has saved it.
    entry_id: str | None = None
    payload: dict | None = None


@dataclass
class LivedDay:
    """One day of one patient. `happenings` are (time, what): clinician's acts and extras."""

    bouts: list[LivedBout] = field(default_factory=list)
    not_done: list[tuple[str, str]] = field(default_factory=list)  # limb, reason
    new_pads: tuple[str, ...] = ()  # limbs
    swelling: str | None = "none"  # None = no morning check
    knee_pain: int = 1
    morning_skin: dict = field(default_factory=lambda: dict(SAME))
    sync_at: time | None = EVENING_SYNC
    abroad: bool = False
    happenings: list[tuple[time, Callable[[object, datetime], None]]] = field(default_factory=list)

    def then(self, at: time, act: Callable[[object, datetime], None]) -> None:
        self.happenings.append((at, act))

    def rest(self) -> None:
        """No bout that day, and nothing said about it."""
        self.bouts, self.not_done = [], []


@dataclass
class Diary:
    """All days since the first visit."""

    days: dict[int, LivedDay]

    def day(self, offset: int) -> LivedDay:
        return self.days[offset]

    def span(self, first: int, last: int) -> list[LivedDay]:
        return [self.days[offset] for offset in range(first, last + 1)]

    def last_with_bout(self, before: int) -> int:
        """The newest day earlier than `before` on which there was a bout."""
        return max(o for o, day in self.days.items() if o < before and day.bouts)


def diary_of(member: Member, weekday_today: int) -> Diary:
    """A usual course for this member; stories then change single days."""
    days = {}
    for offset in range(-member.days_ago, 1):
        weekday = (weekday_today + offset) % 7
        # A generator per day: what happens on it does not depend on other days.
        rng = Random(f"{member.key} {offset}")  # noqa: S311  the same demo every time
        days[offset] = _usual_day(member, offset, weekday, rng)
    return Diary(days)


def _usual_day(member: Member, offset: int, weekday: int, rng: Random) -> LivedDay:
    day = LivedDay()
    if offset == -member.days_ago:
        day.swelling, day.sync_at = None, None  # the day of the first visit
        return day
    progress = 1 + offset / member.days_ago
    day.knee_pain = _pain(member.habits, progress, rng)
    if (offset + member.days_ago) % NEW_PADS_EVERY == 1:
        day.new_pads = tuple(care.limb for care in member.cares)
    for care in member.cares:
        if weekday in care.weekdays:
            _usual_bouts(day, care, member.habits, progress, rng)
    return day


def _usual_bouts(day: LivedDay, care: Care, habits: Habits, progress: float, rng: Random) -> None:
    for at in care.times:
        if rng.random() > habits.keeps:
            day.not_done.append((care.limb, rng.choice(("no_time", "forgot", "other"))))
            continue
        pain = _pain(habits, progress, rng)
        day.bouts.append(
            LivedBout(
                limb=care.limb,
                at=_about(at, rng),
                effort=_effort(habits, progress, rng),
                discomfort=_rating(habits.discomfort - 2 * progress + rng.uniform(-1, 1)),
                pain_before=pain,
                pain_after=_rating(pain + rng.choice((0, 0, 1))),
                skin_after=dict(SLIGHT if rng.random() < habits.marks else SAME),
            )
        )


def _pain(habits: Habits, progress: float, rng: Random) -> int:
    first, last = habits.knee_pain
    return _rating(first + (last - first) * progress + rng.uniform(-0.6, 0.6))


def _effort(habits: Habits, progress: float, rng: Random) -> float:
    first, last = habits.effort
    return first + (last - first) * progress + rng.uniform(-0.03, 0.03)


def _rating(value: float) -> int:
    return max(0, min(10, round(value)))


def _about(at: time, rng: Random) -> time:
    return at.replace(minute=rng.randrange(0, 40))
