"""Notes to the clinic: that somebody read one, so that its patient hears of it."""

from datetime import datetime

from django.db import transaction

from homeprogram.models import ChangeType, Clinician, Entry, NoteReading
from homeprogram.services.changes import changes_announce, patient_lock


@transaction.atomic
def note_read(*, note: Entry, by: Clinician, now: datetime) -> NoteReading:
    """The first who reads it counts; saying it again changes nothing."""
    patient = patient_lock(patient_id=note.patient_id)
    reading, made = NoteReading.objects.get_or_create(
        entry=note,
        defaults={
            "clinic_id": note.clinic_id,
            "patient": patient,
            "read_by": by,
            "read_at": now,
        },
    )
    if made:
        changes_announce(patient=patient, what=[(ChangeType.ENTRY_STATE, reading.id)])
    return reading
