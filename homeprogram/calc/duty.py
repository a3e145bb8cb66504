"""Who looks at a safety flag now, by the working week, absences and closures.

Common practice, no source. First the patient's own clinician, or who covers for
them, or whoever is on duty; while nobody has seen it the next are asked too: the
cover, then the lead. There is always somebody while anybody works at the clinic.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.calc.days import ONE_DAY, days_between, local_day
from homeprogram.calc.limits import WORKING_WEEKDAYS

AHEAD_DAYS = 14  # as far as the next to be asked is looked for
Steps = tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class DaysOff:
    """From first to last, both included; `cover` = who answers then, if anybody was named."""

    first_day: date
    last_day: date
    cover: str | None = None

    def covers(self, day: date) -> bool:
        return self.first_day <= day <= self.last_day


@dataclass(frozen=True, slots=True)
class Person:
    id: str
    lead: bool = False
    weekdays: frozenset[int] = frozenset(WORKING_WEEKDAYS)  # Monday = 0
    cover: str | None = None  # where an absence names nobody else
    absences: tuple[DaysOff, ...] = ()

    def absence_on(self, day: date) -> DaysOff | None:
        return next((one for one in self.absences if one.covers(day)), None)

    def works_on(self, day: date) -> bool:
        return day.weekday() in self.weekdays and self.absence_on(day) is None

    def cover_on(self, day: date) -> str | None:
        absence = self.absence_on(day)
        return (absence.cover if absence else None) or self.cover


@dataclass(frozen=True, slots=True)
class Roster:
    """Everybody who can sign in, in one order for all; the clinic's closed days, hours and zone."""

    people: tuple[Person, ...]
    closures: tuple[DaysOff, ...] = ()
    hours: ClinicSettings = field(default_factory=ClinicSettings)
    zone: ZoneInfo = field(default_factory=lambda: ZoneInfo("UTC"))

    @property
    def step(self) -> timedelta:
        return timedelta(hours=self.hours.unseen_h)

    def person(self, key: str | None) -> Person | None:
        return next((one for one in self.people if one.id == key), None)

    def closure_on(self, day: date) -> DaysOff | None:
        return next((one for one in self.closures if one.covers(day)), None)

    def duty_on(self, day: date) -> tuple[datetime, datetime]:
        """When the hours of duty of that day begin and end."""
        return _at(day, self.hours.duty_from, self), _at(day, self.hours.duty_until, self)


@dataclass(frozen=True, slots=True)
class Asked:
    """Who should look now, and who is asked next unless somebody has looked."""

    now: tuple[str, ...]
    next: tuple[str, ...] = ()
    next_at: datetime | None = None


def on_duty(roster: Roster, day: date) -> tuple[str, ...]:
    """On a closed day only who answers for the clinic."""
    if closure := roster.closure_on(day):
        return (closure.cover,) if roster.person(closure.cover) else ()
    return tuple(one.id for one in roster.people if one.works_on(day))


def covered_by(roster: Roster, who: str, day: date) -> tuple[str, ...]:
    """Who is away that day and left their patients to `who`; a usual day off is not away."""
    return tuple(
        one.id for one in roster.people if one.absence_on(day) and one.cover_on(day) == who
    )


def steps(roster: Roster, own: str | None, day: date) -> Steps:
    """Who is asked first, next and last on that day; nobody twice, no step empty."""
    there = on_duty(roster, day)
    found: list[tuple[str, ...]] = []
    for step in (*_before_the_lead(roster, own, day, there), _leads(roster, there)):
        fresh = tuple(one for one in step if not any(one in earlier for earlier in found))
        if fresh:
            found.append(fresh)
    return tuple(found)


def _before_the_lead(
    roster: Roster, own: str | None, day: date, there: tuple[str, ...]
) -> Iterator[tuple[str, ...]]:
    person = roster.person(own)
    cover = person.cover_on(day) if person else None
    covering = (cover,) if cover in there else ()
    if own in there:
        yield (own,)
        yield covering or there
    else:
        yield covering or there


def _leads(roster: Roster, there: tuple[str, ...]) -> tuple[str, ...]:
    """Last of all: on duty or not, and everybody where the clinic has no lead."""
    leads = tuple(one.id for one in roster.people if one.lead)
    return tuple(one for one in leads if one in there) or leads or _everybody(roster)


def _everybody(roster: Roster) -> tuple[str, ...]:
    return tuple(one.id for one in roster.people)


def duty_time(roster: Roster, since: datetime, until: datetime) -> timedelta:
    """How long somebody was there to see it: the hours of duty of days with anybody on duty."""
    total = timedelta()
    for day in days_between(local_day(since, roster.zone), local_day(until, roster.zone)):
        if on_duty(roster, day):
            begins, ends = roster.duty_on(day)
            total += max(timedelta(), min(until, ends) - max(since, begins))
    return total


def level(roster: Roster, since: datetime, at: datetime) -> int:
    """How many steps further the unseen flag has gone; never falls as time passes."""
    return duty_time(roster, since, at) // roster.step


def asked(roster: Roster, own: str | None, since: datetime, at: datetime) -> tuple[str, ...]:
    """Who should look at a flag that nobody has seen `since` then; the first step first."""
    gone = level(roster, since, at)
    return _flat(steps(roster, own, local_day(at, roster.zone))[: gone + 1])


def waiting(roster: Roster, own: str | None, since: datetime, at: datetime) -> Asked:
    """The same, with the first moment at which somebody new is asked."""
    now = asked(roster, own, since, at)
    for moment in _turns(roster, since, at):
        then = asked(roster, own, since, moment)
        if fresh := tuple(one for one in then if one not in now):
            return Asked(now, fresh, moment)
    return Asked(now)


def _turns(roster: Roster, since: datetime, at: datetime) -> list[datetime]:
    """Moments after `at` when another may be asked: a step is over, or another day begins."""
    worked = duty_time(roster, since, at)
    due = [roster.step * (worked // roster.step + n) - worked for n in (1, 2)]
    today, found = local_day(at, roster.zone), []
    for day in days_between(today, today + AHEAD_DAYS * ONE_DAY):
        found.append(_at(day, time(), roster))
        if not on_duty(roster, day):
            continue
        begins, ends = roster.duty_on(day)
        length = max(timedelta(), ends - max(at, begins))
        found += [max(at, begins) + left for left in due if timedelta() < left <= length]
        due = [left - length for left in due]
    return sorted(moment for moment in found if moment > at)


def _at(day: date, wall: time, roster: Roster) -> datetime:
    return datetime.combine(day, wall, tzinfo=roster.zone).astimezone(UTC)


def _flat(found: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(one for step in found for one in step)
