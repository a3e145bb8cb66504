"""One simulated patient at the clinic: real day status, real rules, real life of cards.

The clock looks at midnight and at noon, when a day closes, and at every contact. A
clinician closes what is open on Mondays at nine, and a safety card the next morning.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import cache

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import DayCounts, day_status
from homeprogram.calc.days import closes_at
from homeprogram.calc.flag_facts import EpisodeFacts, Facts, ProgramFact, SkinFact, StrengthFact
from homeprogram.calc.flags import SAFETY, judged
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.schedule import Plan, due_on
from homeprogram.models import Flag, FlagState, Patient
from homeprogram.selectors.plans import Context
from homeprogram.services.flags import _changes
from tests.behaviour.people import Person
from tests.rules.build import MONDAY, UTC_ZONE, bout, revision

EVENING = time(18)
PLAN = Plan((revision(),), None, ())
ONE_DAY = timedelta(days=1)
DONE = DayCounts(bouts_done=1, contractions=15, minutes=15)


@dataclass(frozen=True, slots=True)
class Opening:
    """A card that came up, or came up again."""

    reason: str
    at: datetime
    repeats: bool  # it tells of nothing that an opening before did not tell of
    partly: bool = False  # it tells of something that an opening before told of


@dataclass(frozen=True, slots=True)
class Course:
    """What the clinic saw of one person."""

    person: Person
    openings: list[Opening]
    reactions_on_top: int  # reactions whose card stood at the top as they arrived


def day_of(number: int) -> date:
    return MONDAY + number * ONE_DAY


def at(number: int, clock: time) -> datetime:
    return datetime.combine(day_of(number), clock, tzinfo=UTC)


def lived(person: Person, rules: FlagRules) -> Course:
    """The whole course, moment by moment."""
    clinic = _Clinic(person, rules)
    for number in range(len(person.done)):
        clinic.looks(at(number, time(0, 5)))
        clinic.closes(number)
        clinic.looks(at(number, time(12, 5)))
        if person.heard[number]:
            clinic.hears(number)
    return Course(person, clinic.openings, clinic.on_top)


class _Clinic:
    def __init__(self, person: Person, rules: FlagRules) -> None:
        self.person, self.rules = person, rules
        self.patient = Patient(zone="UTC")
        self.flags: list[Flag] = []
        self.openings: list[Opening] = []
        self.told: dict[str, set] = {}  # by reason, the days and entries that openings told of
        self.known: dict[date, datetime] = {}  # bouts that are here, and since when
        self.skin: list[SkinFact] = []
        self.watermark = at(0, time(0))
        self.on_top = 0

    def hears(self, number: int) -> None:
        """In the evening the phone sends all it has, and says so."""
        now = at(number, EVENING)
        for n in range(number + 1):
            if self.person.done[n]:
                self.known.setdefault(day_of(n), now)
        self.watermark = now
        if grade := self.person.reactions.get(number):
            day = day_of(number).isoformat()
            self.skin.append(SkinFact(f"skin-{day}", "left", day, "after", grade, False, now))
        self.looks(now)
        if grade and self._tops(f"skin-{day_of(number)}"):
            self.on_top += 1

    def looks(self, now: datetime) -> None:
        """What a push and the clock do."""
        stood = {id(flag): flag.opened_at for flag in self.flags}
        cards = judged(self._facts(now), self.rules).cards
        stored = Context(self.patient, now, UTC_ZONE, flags=self.flags)
        fresh, _ = _changes(stored, cards, ())
        self.flags += fresh
        for flag in self.flags:
            if flag.state == FlagState.OPEN and stood.get(id(flag)) != flag.opened_at:
                self.openings.append(Opening(flag.reason, now, *self._told_before(flag)))

    def closes(self, number: int) -> None:
        """Mondays everything, other mornings what is about safety."""
        now = at(number, time(9))
        for flag in self.flags:
            if flag.state == FlagState.OPEN and (now.weekday() == 0 or flag.reason in SAFETY):
                flag.state, flag.closed_at = FlagState.CLOSED, now

    def _facts(self, now: datetime) -> Facts:
        first = max(MONDAY, now.date() - timedelta(days=self.rules.window_days))
        span = [first + n * ONE_DAY for n in range((now.date() - first).days + 1)]
        tested = MONDAY + 28 * ((now.date() - MONDAY).days // 28) * ONE_DAY
        return Facts(
            now=now,
            zone=UTC_ZONE,
            watermark=self.watermark,
            last_contact_at=self.watermark,
            episodes=(EpisodeFacts("left", tuple(self._day(day, now) for day in span)),),
            skin=tuple(s for s in self.skin if s.received_at >= now - timedelta(days=28)),
            bouts=tuple(_bout(day) for day in span if day in self.known),
            programs={"left": ProgramFact(True, MONDAY, "r", test=StrengthFact(tested, now))},
        )

    def _day(self, day: date, now: datetime) -> Day:
        due = _due(day)
        logged = DONE if day in self.known else DayCounts()
        closing = closes_at(day, UTC_ZONE)
        status = day_status(
            day=day, due=due, logged=logged, watermark=self.watermark, now=now, zone=UTC_ZONE
        )
        return Day(day, due, logged, status, over=now >= closing)

    def _told_before(self, flag: Flag) -> tuple[bool, bool]:
        """All of it, some of it."""
        basis = flag.basis
        facts = {*basis.get("days", ()), *basis.get("entries", ())} or {flag.fact_at}
        before = self.told.setdefault(flag.reason, set())
        told = bool(before) and facts <= before, bool(facts & before)
        before |= facts
        return told

    def _tops(self, entry_id: str) -> bool:
        """A card that names the entry is open, and none of another kind ranks above it."""
        mine = [f for f in self.flags if f.state == FlagState.OPEN and f.reason == "skin_reaction"]
        return any(entry_id in flag.basis["entries"] for flag in mine)


@cache
def _due(day: date):
    return due_on(PLAN, day)


@cache
def _bout(day: date):
    return bout(day, discomfort=5, pain_after=2)


def openings(courses: list[Course], *reasons: str) -> Iterator[Opening]:
    for course in courses:
        yield from (one for one in course.openings if not reasons or one.reason in reasons)
