"""Entries in custody, settled by a person who looked."""

from datetime import datetime

from django.db import transaction

from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, HeldEntry
from homeprogram.services.changes import patient_lock
from homeprogram.services.flags import patient_flags_evaluate


@transaction.atomic
def held_settle(*, held: HeldEntry, by: Clinician, note: str, now: datetime) -> None:
    """A clinician read what came and says what was done about it.

    The text stays as it was received for ever. Its day is judged again: nothing
    of it is unheard any more.
    """
    if not note.strip():
        message = "Say what you found and did."
        raise RuleBroken(message, code="reason_missing", fields={"note": message})
    patient = patient_lock(patient_id=held.patient_id)
    changed = HeldEntry.objects.filter(id=held.id, settled_at=None).update(
        settled_at=now, settled_by=by, settled_note=note.strip()
    )
    if not changed:
        raise RuleBroken("This entry is settled already.", code="held_settled")
    patient_flags_evaluate(patient=patient, now=now)
