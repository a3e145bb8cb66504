"""Versions: the order in which a patient's phone hears of things."""

from collections.abc import Sequence
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from homeprogram.models import Change, ChangeType, Clinic, Patient

# Whoever takes entries judges the flags in the same transaction.
JUDGED_AT_ONCE = frozenset({ChangeType.ENTRY, ChangeType.ENTRY_STATE})


def patient_lock(*, patient_id: UUID) -> Patient:
    """The patient's row, locked first by every writer: a fixed order cannot deadlock."""
    return (
        Patient.objects.select_for_update(of=("self",)).select_related("clinic").get(id=patient_id)
    )


def changes_announce(*, patient: Patient, what: Sequence[tuple[ChangeType, UUID]]) -> list[int]:
    """Give each change the next version; returns the versions. Needs the lock."""
    first = patient.log_version + 1
    versions = list(range(first, first + len(what)))
    Change.objects.bulk_create(
        Change(
            clinic_id=patient.clinic_id,
            patient=patient,
            version=version,
            type=change_type,
            object_id=object_id,
        )
        for version, (change_type, object_id) in zip(versions, what, strict=True)
    )
    if what:
        patient.log_version = versions[-1]
        fields = ["log_version"]
        if not JUDGED_AT_ONCE.issuperset(change_type for change_type, _ in what):
            patient.flags_next_at = None  # the clock looks at it soon
            fields.append("flags_next_at")
        patient.save(update_fields=fields)
    return versions


@transaction.atomic
def change_announce(*, patient_id: UUID, change_type: ChangeType, object_id: UUID) -> int:
    """Tell one patient's phones of one thing, in a transaction of the caller's or our own."""
    patient = patient_lock(patient_id=patient_id)
    return changes_announce(patient=patient, what=[(change_type, object_id)])[0]


@transaction.atomic
def flags_look_soon(*, patients: QuerySet[Patient]) -> None:
    """Something the flags rest on was changed: the clock's next round looks at these."""
    current = patients.filter(archived_at=None)
    # By id, as whoever else locks several; an update locks them as it comes upon them.
    list(current.select_for_update(of=("self",)).order_by("id").values_list("id"))
    current.update(flags_next_at=None)


@transaction.atomic
def texts_announce(*, clinic: Clinic) -> None:
    """Tell every phone of the clinic that its number, fixed texts or closed days changed."""
    # By id, so that two of these at once lock the patients in the same order.
    patients = Patient.objects.filter(clinic=clinic).order_by("id")
    for patient_id in patients.values_list("id", flat=True):
        change_announce(patient_id=patient_id, change_type=ChangeType.TEXTS, object_id=clinic.id)


@transaction.atomic
def closed_days_set(*, clinic: Clinic, closed_days: Sequence[dict]) -> None:
    """What the phones say of closed days: {first_day, last_day, answers = a clinician's id}."""
    clinic.closed_days = list(closed_days)
    clinic.save(update_fields=["closed_days"])
    texts_announce(clinic=clinic)
