"""The roster as a page: who is there on the days to come, absences, closures."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from clinician.models import Absence, WorkingWeek
from clinician.selectors.duty import Staff, staff_of
from clinician.selectors.words import WEEKDAYS, day_long, day_short, listed
from homeprogram.calc import duty
from homeprogram.calc.days import ONE_DAY, days_between, local_day, zone_or_utc
from homeprogram.calc.duty import Person
from homeprogram.calc.limits import WORKING_WEEKDAYS
from homeprogram.models import Clinic, Clinician
from homeprogram.selectors.record import clinicians_who_sign_in

DAYS = 14


@dataclass(frozen=True, slots=True)
class RosterCell:
    state: str  # there, off, away, closed, answers
    word: str


@dataclass(frozen=True, slots=True)
class RosterRow:
    id: UUID
    name: str
    role: str
    usual: str
    named: list[tuple[RosterCell, str]]  # with the day's short name


@dataclass(frozen=True, slots=True)
class AbsenceLine:
    id: UUID
    who: str  # empty = the clinic
    days: str
    cover: str
    note: str
    own: bool


@dataclass(frozen=True, slots=True)
class RosterPage:
    rows: list[RosterRow]
    nobody: str
    absences: list[AbsenceLine]
    closures: list[AbsenceLine]
    step_h: int
    hours: str


def roster_page(*, clinic: Clinic, me: Clinician, now: datetime) -> RosterPage:
    """Two weeks from today; two questions."""
    today = local_day(now, zone_or_utc(clinic.zone))
    days = days_between(today, today + (DAYS - 1) * ONE_DAY)
    staff = staff_of(clinic=clinic, since=today)
    lines = [_line(one, me) for one in _absences(clinic, today)]
    alone = [day for day in days if not duty.on_duty(staff.roster, day)]
    settings = staff.roster.hours
    return RosterPage(
        rows=[_row(person, staff, days) for person in staff.roster.people],
        nobody=listed([day_short(day) for day in alone]),
        absences=[one for one in lines if one.who],
        closures=[one for one in lines if not one.who],
        step_h=settings.unseen_h,
        hours=f"{settings.duty_from:%H:%M} to {settings.duty_until:%H:%M}",
    )


def _absences(clinic: Clinic, since: date) -> Iterable[Absence]:
    off = Absence.objects.filter(clinic=clinic, taken_back_at=None, last_day__gte=since)
    return off.select_related("clinician", "cover").order_by("first_day", "recorded_at")


def _line(one: Absence, me: Clinician) -> AbsenceLine:
    last = "" if one.last_day == one.first_day else f" to {day_long(one.last_day)}"
    return AbsenceLine(
        id=one.id,
        who=one.clinician.name if one.clinician else "",
        days=f"{day_long(one.first_day)}{last}",
        cover=one.cover.name,
        note=one.note,
        own=me.is_lead or one.clinician_id == me.id,
    )


def _row(person: Person, staff: Staff, days: Sequence[date]) -> RosterRow:
    clinician = staff.people[person.id]
    cover = staff.people.get(person.cover)
    worked = ", ".join(WEEKDAYS[day] for day in sorted(person.weekdays)) or "no day"
    return RosterRow(
        id=clinician.id,
        name=clinician.name,
        role=clinician.get_role_display().lower(),
        usual=f"{worked}; cover: {cover.name if cover else 'whoever is on duty'}",
        named=[(_cell(person, staff, day), f"{WEEKDAYS[day.weekday()]} {day.day}") for day in days],
    )


def _cell(person: Person, staff: Staff, day: date) -> RosterCell:
    if closure := staff.roster.closure_on(day):
        if closure.cover == person.id:
            return RosterCell("answers", "answers for the closed clinic")
        return RosterCell("closed", "clinic closed")
    if absence := person.absence_on(day):
        cover = staff.people.get(absence.cover)
        return RosterCell("away", f"away, {cover.name if cover else 'nobody'} covers")
    return RosterCell("there", "on duty") if person.works_on(day) else RosterCell("off", "off")


def week_of(*, clinician: Clinician) -> dict:
    """What the form of somebody's working week begins with."""
    week = WorkingWeek.objects.filter(clinician=clinician).first()
    days = week.weekdays if week else WORKING_WEEKDAYS
    cover = str(week.cover_id) if week and week.cover_id else ""
    return {"weekdays": [str(day) for day in days], "cover": cover}


def covers_of(*, clinic: Clinic, but: Clinician | None) -> list[tuple[str, str]]:
    """Who may answer: everybody who can sign in, but for the one who is away."""
    people = clinicians_who_sign_in(clinic=clinic).order_by("name", "id")
    return [(str(one.id), one.name) for one in people if one != but]


def absence_of_clinic(*, clinic: Clinic, absence_id: UUID) -> Absence | None:
    return Absence.objects.filter(clinic=clinic, id=absence_id, taken_back_at=None).first()


def tomorrow(clinic: Clinic, now: datetime) -> date:
    return local_day(now, zone_or_utc(clinic.zone)) + timedelta(days=1)
