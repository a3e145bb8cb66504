"""The working week, absences and closures."""

from collections.abc import Collection
from datetime import date, datetime

from django.db import transaction
from django.db.models import QuerySet

from clinician.models import Absence, WorkingWeek
from clinician.selectors.words import day_long
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.limits import WORKING_WEEKDAYS
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinic, Clinician, SettingKind
from homeprogram.services.changes import closed_days_set
from homeprogram.services.settings import setting_note


@transaction.atomic
def week_set(
    *,
    clinician: Clinician,
    weekdays: Collection[int],
    cover: Clinician | None,
    by: Clinician,
    now: datetime,
) -> None:
    """The weekdays somebody works, and who usually covers for them."""
    _check_cover(clinician, cover)
    before = WorkingWeek.objects.filter(clinician=clinician).first()
    told = {"weekdays": sorted(weekdays), "cover": str(cover.id) if cover else None}
    setting_note(
        clinic=clinician.clinic,
        kind=SettingKind.ROSTER,
        person=clinician,
        before=_week(before),
        after=told,
        by=by,
        now=now,
    )
    WorkingWeek.objects.update_or_create(
        clinician=clinician,
        defaults={"clinic": clinician.clinic, "weekdays": told["weekdays"], "cover": cover},
    )


def _week(week: WorkingWeek | None) -> dict:
    if week is None:
        return {"weekdays": list(WORKING_WEEKDAYS), "cover": None}
    return {"weekdays": week.weekdays, "cover": str(week.cover_id) if week.cover_id else None}


@transaction.atomic
def absence_record(
    *,
    clinic: Clinic,
    clinician: Clinician | None,
    first_day: date,
    last_day: date,
    cover: Clinician,
    by: Clinician,
    now: datetime,
    note: str = "",
) -> Absence:
    """Days somebody is away and who covers; without a clinician, days the clinic is closed."""
    if last_day < first_day:
        message = "The last day cannot come before the first."
        raise RuleBroken(message, code="days_in_wrong_order", fields={"last_day": message})
    _check_cover(clinician, cover)
    Clinic.objects.select_for_update().get(id=clinic.id)  # two at once would not see each other
    _check_free(clinic, clinician, first_day, last_day)
    _check_there(cover, first_day, last_day)
    absence = Absence.objects.create(
        clinic=clinic,
        clinician=clinician,
        first_day=first_day,
        last_day=last_day,
        cover=cover,
        note=note.strip(),
        recorded_by=by,
        recorded_at=now,
    )
    if clinician is None:
        _closures_tell(clinic, now)
    return absence


@transaction.atomic
def absence_take_back(*, absence: Absence, by: Clinician, now: datetime) -> None:
    """They are there after all; the row stays. Safe to repeat."""
    standing = Absence.objects.filter(id=absence.id, taken_back_at=None)
    if standing.update(taken_back_by=by, taken_back_at=now) and absence.clinician_id is None:
        _closures_tell(absence.clinic, now)


def _closures_tell(clinic: Clinic, now: datetime) -> None:
    """The phones of the clinic hear of every closure that is not over."""
    today = local_day(now, zone_or_utc(clinic.zone))
    standing = Absence.objects.filter(
        clinic=clinic, clinician=None, taken_back_at=None, last_day__gte=today
    )
    closed_days_set(
        clinic=clinic,
        closed_days=[
            {
                "first_day": one.first_day.isoformat(),
                "last_day": one.last_day.isoformat(),
                "answers": str(one.cover_id),
            }
            for one in standing.order_by("first_day")
        ],
    )


def _check_cover(clinician: Clinician | None, cover: Clinician | None) -> None:
    if cover is None:
        return
    if cover == clinician:
        message = "Somebody else has to cover."
    elif not cover.active:
        message = f"{cover.name} can no longer sign in. Choose somebody else."
    else:
        return
    raise RuleBroken(message, code="cover_impossible", fields={"cover": message})


def _standing(first_day: date, last_day: date) -> QuerySet[Absence]:
    """Absences with some of these days, not taken back."""
    on = {"first_day__lte": last_day, "last_day__gte": first_day}
    return Absence.objects.filter(taken_back_at=None, **on)


def _check_there(cover: Clinician, first_day: date, last_day: date) -> None:
    away = _standing(first_day, last_day).filter(clinician=cover).order_by("first_day").first()
    if away:
        days = f"{day_long(away.first_day)} to {day_long(away.last_day)}"
        message = f"{cover.name} is away: {days}. For those days choose somebody else."
        raise RuleBroken(message, code="cover_away", fields={"cover": message})


def _check_free(
    clinic: Clinic, clinician: Clinician | None, first_day: date, last_day: date
) -> None:
    """Two covers for one day would leave open who answers."""
    if _standing(first_day, last_day).filter(clinic=clinic, clinician=clinician).exists():
        message = "Some of these days are on record already. Take those back first."
        raise RuleBroken(message, code="days_taken", fields={"first_day": message})
