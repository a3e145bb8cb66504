"""Loads the demo clinic through the same services that real requests use."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from clinician.demo.case import Case
from clinician.demo.cast import CAST, Member
from clinician.demo.desk_work import DeskWork
from clinician.demo.diary import diary_of
from clinician.demo.live import live
from clinician.demo.reminders import reminders_add
from clinician.demo.reviews import reviews_add
from clinician.demo.stories import STORIES
from clinician.services.duty import absence_record, week_set
from homeprogram.calc.days import local_day
from homeprogram.calc.limits import WORKING_WEEKDAYS
from homeprogram.services import clinics, pairing

PASSWORD = "a-demo-not-a-secret"  # noqa: S105  printed at every start, loopback only
FIRST_VISIT = time(11, 15)
JUST_NOW = timedelta(minutes=20)
CLINICIANS = (
    ("lead", "lead@brindlewick.example", "Marta Veldon"),
    ("clinician", "owen@brindlewick.example", "Owen Hartleby"),
)


@dataclass(frozen=True, slots=True)
class ReadyPatient:
    """What a visitor of the demo needs to pair a phone as this patient."""

    label: str
    pairing_code: str


@dataclass(frozen=True, slots=True)
class Loaded:
    logins: tuple[str, ...]  # the lead's first
    password: str
    patients: tuple[ReadyPatient, ...]


def demo_load(
    *, now: datetime, zone: ZoneInfo, progress: Callable[[int, int], None] | None = None
) -> Loaded:
    """The clinic, its clinicians and every member of the cast, up to `now`."""
    clinicians = _clinic(now, zone)
    patients = []
    for place, member in enumerate(CAST):
        by = clinicians[place % len(clinicians)]
        patients.append(_patient(member, by, zone, now))
        if progress:
            progress(place + 1, len(CAST))
    DeskWork(clinicians=clinicians, now=now, zone=zone).write()
    return Loaded(tuple(login for _, login, _ in CLINICIANS), PASSWORD, tuple(patients))


@transaction.atomic
def _clinic(now: datetime, zone: ZoneInfo) -> list:
    opened = now - timedelta(days=400)
    clinic = clinics.clinic_create(
        name="Brindlewick Knee Clinic",
        phone_number="01632 960100",
        hours="Monday to Friday, 8:00 to 17:30",
        out_of_hours="Out of hours call 01632 960199; a nurse answers.",
        emergency_number="112",
        zone=zone.key,
        now=opened,
    )
    people = list(_clinicians(clinic, opened))
    _roster(people, now, local_day(now, zone))
    return people


def _roster(people: list, now: datetime, today: date) -> None:
    """Two who cover each other, and one who is away next week."""
    lead, other = people
    for one, cover in ((lead, other), (other, lead)):
        week_set(clinician=one, weekdays=WORKING_WEEKDAYS, cover=cover, by=lead, now=now)
    away = today + timedelta(days=7)
    absence_record(
        clinic=lead.clinic,
        clinician=other,
        first_day=away,
        last_day=away + timedelta(days=2),
        cover=lead,
        note="course",
        by=other,
        now=now,
    )


def _clinicians(clinic: object, opened: datetime) -> Iterator[object]:
    for role, email, name in CLINICIANS:
        clinician = clinics.clinician_invite(
            clinic=clinic, email=email, name=name, role=role, now=opened
        )
        clinics.password_set(user=clinician.user, password=PASSWORD)
        yield clinician


@transaction.atomic
def _patient(member: Member, by: object, zone: ZoneInfo, now: datetime) -> ReadyPatient:
    """One member's whole course in one transaction: a demo need not survive a power cut."""
    today = local_day(now, zone)
    case = Case(member=member, by=by, zone=zone, today=today)
    diary = diary_of(member, today.weekday())
    STORIES[member.key](diary)
    reviews_add(diary, member.key, today.weekday())
    reminders_add(diary, member.key)
    first = datetime.combine(today - timedelta(days=member.days_ago), FIRST_VISIT, tzinfo=zone)
    case.first_visit(min(first, now - JUST_NOW))
    live(case, diary, now)
    case.clock(now)
    code = pairing.code_create(patient=case.patient, by=by, now=now, standing=True)
    return ReadyPatient(f"{member.name}: {member.about}", code.code)
