"""Where every current patient of a clinic stands: light enough for thousands."""

from collections import defaultdict
from datetime import date, datetime
from uuid import UUID

from django.db.models import Exists, Max, OuterRef

from clinician.selectors.order import Course, Standing
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.models import Clinic, Episode, Flag, FlagState, Hold
from homeprogram.selectors.record import patients_of_clinic

COLUMNS = ("id", "name", "clinician_id", "reviewed_at", "held", "heard_at")


def standings(*, clinic: Clinic, now: datetime, with_courses: bool = False) -> list[Standing]:
    """In no order; two questions, three with courses."""
    flags = _open_flags(clinic)
    courses = _courses(clinic, now) if with_courses else {}
    patients = (
        patients_of_clinic(clinic=clinic)
        .select_related(None)
        .annotate(
            held=Exists(Hold.objects.filter(patient=OuterRef("pk"), lift=None)),
            heard_at=Max("phones__last_contact_at"),
        )
    )
    return [
        Standing(
            id=patient_id,
            flags=tuple(flags.get(patient_id, ())),
            held=held,
            reviewed_at=reviewed_at,
            heard_at=heard_at,
            name=name,
            clinician_id=clinician_id,
            courses=tuple(courses.get(patient_id, ())),
        )
        for patient_id, name, clinician_id, reviewed_at, held, heard_at in patients.values_list(
            *COLUMNS
        )
    ]


def _open_flags(clinic: Clinic) -> dict[UUID, list[tuple[str, datetime]]]:
    flags = defaultdict(list)
    stored = Flag.objects.filter(clinic=clinic, state=FlagState.OPEN)
    for patient_id, reason, opened_at in stored.values_list("patient_id", "reason", "opened_at"):
        flags[patient_id].append((reason, opened_at))
    return flags


def _courses(clinic: Clinic, now: datetime) -> dict[UUID, list[Course]]:
    """By the clinic's calendar: a filter by weeks may be a day off where zones differ."""
    today = local_day(now, zone_or_utc(clinic.zone))
    courses = defaultdict(list)
    going = Episode.objects.filter(clinic=clinic, ended_on=None)
    columns = ("patient_id", "pathway", "starts_on", "surgery_on")
    for patient_id, pathway, starts_on, surgery_on in going.values_list(*columns):
        courses[patient_id].append(Course(pathway, _week(starts_on, surgery_on, today)))
    return courses


def _week(starts_on: date, surgery_on: date | None, today: date) -> int:
    after_surgery = surgery_on is not None and surgery_on <= today
    return (today - (surgery_on if after_surgery else starts_on)).days // 7 + 1
