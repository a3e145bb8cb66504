"""The roster as rows, and who should look at a safety flag now."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.models import Absence, WorkingWeek
from clinician.selectors.words import ago, day_long, listed, moment_short
from homeprogram.calc import duty
from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.duty import DaysOff, Person, Roster
from homeprogram.models import Clinic, Clinician, Flag, FlagState
from homeprogram.selectors.at_once import Questions, rows_about
from homeprogram.selectors.record import clinicians_who_sign_in

LOOKS_BACK = timedelta(days=60)  # a flag unseen for longer went to everybody long ago


@dataclass(frozen=True, slots=True)
class Staff:
    """Everybody who can sign in by id, and when they are there."""

    people: dict[str, Clinician]
    roster: Roster

    def those(self, ids: Iterable[str]) -> list[Clinician]:
        return [self.people[one] for one in ids]


@dataclass(frozen=True, slots=True)
class Waiting:
    """An unseen safety flag: for whom it waits, and to whom it goes on."""

    asked: list[Clinician]  # first asked first; never nobody
    words: str
    short: str  # beside how long it has been open


def staff_of(*, clinic: Clinic, since: date) -> Staff:
    """One question; absences that were over before `since` are left out."""
    found = rows_about(_asked, [clinic.id], since=[since])
    people = {str(one.id): one for one in sorted(found["people"], key=lambda p: (p.name, p.id))}
    weeks = {one.clinician_id: one for one in found["weeks"]}
    absences = sorted(found["absences"], key=lambda one: (one.first_day, one.recorded_at))
    return Staff(
        people,
        Roster(
            people=tuple(
                _person(one, weeks.get(one.id), absences, people) for one in people.values()
            ),
            closures=tuple(_off(one, people) for one in absences if one.clinician_id is None),
            hours=ClinicSettings.of_clinic(clinic.settings),
            zone=zone_or_utc(clinic.zone),
        ),
    )


def _asked(who: Sequence[UUID], since: date) -> Questions:
    [clinic] = who
    return {
        "people": clinicians_who_sign_in(clinic=clinic),
        "weeks": WorkingWeek.objects.filter(clinic=clinic),
        "absences": Absence.objects.filter(clinic=clinic, taken_back_at=None, last_day__gte=since),
    }


def staff_lately(*, clinic: Clinic, at: datetime) -> Staff:
    """With every absence that may matter to a flag that waits now."""
    return staff_of(clinic=clinic, since=local_day(at - LOOKS_BACK, zone_or_utc(clinic.zone)))


def covered_by(
    *, clinician: Clinician, at: datetime, staff: Staff | None = None
) -> dict[UUID, str]:
    """Colleagues who are away and whose patients are this clinician's meanwhile, by name."""
    day = local_day(at, zone_or_utc(clinician.clinic.zone))
    staff = staff or staff_of(clinic=clinician.clinic, since=day)
    away = staff.those(duty.covered_by(staff.roster, str(clinician.id), day))
    return {one.id: one.name for one in away}


def closed_words(*, clinic: Clinic, at: datetime) -> str:
    """Who answers while the clinic is closed, as a sentence; empty on any other day."""
    day = local_day(at, zone_or_utc(clinic.zone))
    staff = staff_of(clinic=clinic, since=day)
    closure = staff.roster.closure_on(day)
    if closure is None:
        return ""
    cover = staff.people.get(closure.cover)
    until = f" until {day_long(closure.last_day)}" if closure.last_day > day else " today"
    return f"The clinic is closed{until}. {cover.name if cover else 'The lead'} answers for it."


def waiting_of(
    *, clinic: Clinic, flags: Sequence[Flag], at: datetime, staff: Staff | None = None
) -> dict[UUID, Waiting]:
    """The unseen safety flags among `flags`, with their `patient` at hand; none asks nothing.

    `staff` = of `staff_lately`, where the caller has read it.
    """
    unseen = [f for f in flags if f.safety and f.state == FlagState.OPEN and f.seen_at is None]
    if not unseen:
        return {}
    staff = staff or staff_lately(clinic=clinic, at=at)
    return {flag.id: _waiting(flag, staff, at) for flag in unseen}


def waits_since(flag: Flag) -> datetime:
    return flag.waits_since or flag.opened_at


def _waiting(flag: Flag, staff: Staff, at: datetime) -> Waiting:
    own = str(flag.patient.clinician_id) if flag.patient.clinician_id else None
    since = waits_since(flag)
    found = duty.waiting(staff.roster, own, max(since, at - LOOKS_BACK), at)
    asked, then = staff.those(found.now), staff.those(found.next)
    who = f"Waits for {_names(asked)}"
    goes = ""
    if found.next_at:
        goes = f"; goes to {_names(then)} too {_when(found.next_at, at, staff.roster.zone)}"
    words = f"{who}, unseen since {ago(since, at)}{goes}"
    return Waiting(asked, words, f"{who}{goes}")


def _when(moment: datetime, now: datetime, zone: ZoneInfo) -> str:
    """The hour alone says enough of today."""
    if local_day(moment, zone) == local_day(now, zone):
        return f"at {moment.astimezone(zone):%H:%M}"
    return f"on {moment_short(moment, zone)}"


def _names(people: Sequence[Clinician]) -> str:
    return listed([one.name for one in people])


def _person(
    one: Clinician,
    week: WorkingWeek | None,
    absences: Sequence[Absence],
    people: dict[str, Clinician],
) -> Person:
    off = tuple(_off(absence, people) for absence in absences if absence.clinician_id == one.id)
    if week is None:
        return Person(str(one.id), one.is_lead, absences=off)
    cover = _there(week.cover_id, people)
    return Person(str(one.id), one.is_lead, frozenset(week.weekdays), cover, off)


def _off(absence: Absence, people: dict[str, Clinician]) -> DaysOff:
    return DaysOff(absence.first_day, absence.last_day, _there(absence.cover_id, people))


def _there(clinician_id: UUID | None, people: dict[str, Clinician]) -> str | None:
    """None for a cover whose access has ended."""
    return str(clinician_id) if str(clinician_id) in people else None
