"""Patients' care goes from one clinician to another, several at once, and back."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import UUID, uuid4

from django.db import transaction

from clinician.models import Handover
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinic, Clinician, Patient
from homeprogram.selectors.record import clinicians_who_sign_in

UNDO_WITHIN = timedelta(minutes=10)


@transaction.atomic
def patients_hand_over(
    *, patients: Sequence[Patient], to: Clinician, by: Clinician, now: datetime
) -> tuple[UUID, int]:
    """One row a patient; who is in that care already stays untouched. The batch, how many."""
    if not clinicians_who_sign_in(clinic=by.clinic).filter(id=to.id).exists():
        message = "Choose a colleague who can sign in."
        raise RuleBroken(message, code="colleague_missing", fields={"to": message})
    moved = [one for one in _locked(by.clinic, patients) if one.clinician_id != to.id]
    if not moved:
        message = "They are in that clinician's care already."
        raise RuleBroken(message, code="nothing_to_hand_over", fields={"to": message})
    batch = uuid4()
    Handover.objects.bulk_create(
        Handover(
            clinic_id=by.clinic_id,
            patient=one,
            batch=batch,
            before_id=one.clinician_id,
            after=to,
            by=by,
            at=now,
        )
        for one in moved
    )
    for one in moved:
        one.clinician = to
    Patient.objects.bulk_update(moved, ["clinician"])
    return batch, len(moved)


@transaction.atomic
def handover_undo(*, batch: UUID, by: Clinician, now: datetime) -> int:
    """Whoever did it takes it back; a patient handed on since stays where they are."""
    rows = Handover.objects.filter(batch=batch, by=by, undone_at=None, at__gt=now - UNDO_WITHIN)
    done = {row.patient_id: row for row in rows}
    back = [
        one
        for one in _locked(by.clinic, [row.patient for row in rows.select_related("patient")])
        if one.clinician_id == done[one.id].after_id
    ]
    if not back:
        raise RuleBroken("There is nothing left to undo.", code="nothing_to_undo")
    for one in back:
        one.clinician_id = done[one.id].before_id
    Patient.objects.bulk_update(back, ["clinician"])
    ids = [one.id for one in back]
    rows.filter(patient__in=ids).update(undone_at=now, undone_by=by)
    return len(back)


def _locked(clinic: Clinic, patients: Sequence[Patient]) -> list[Patient]:
    """By id, so that two of these at once lock in the same order."""
    ids = [one.id for one in patients]
    rows = Patient.objects.filter(clinic=clinic, id__in=ids, archived_at=None)
    return list(rows.select_for_update().order_by("id"))
