"""The append-only log: what phones sent, kept as received for ever."""

from django.db import models
from django.db.models import Q

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Episode, Patient
from homeprogram.models.phone import Phone
from homeprogram.models.program import Revision
from homeprogram.models.user import Clinician


class EntryKind(models.TextChoices):
    BOUT = "bout"
    SKIN_CHECK = "skin_check", "skin check"
    NOT_DONE = "not_done", "not done"
    MORNING_CHECK = "morning_check", "morning check"
    STOP_REPORT = "stop_report", "stop report"
    NOTE_TO_CLINIC = "note_to_clinic", "note to the clinic"
    CORRECTION = "correction"
    WITHDRAWAL = "withdrawal"


class Entry(models.Model):
    """One fact, frozen on the phone. No column is ever changed (database trigger)."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="entries")
    phone = models.ForeignKey(Phone, on_delete=models.PROTECT, related_name="entries")
    episode = models.ForeignKey(Episode, null=True, on_delete=models.PROTECT, related_name="+")
    revision = models.ForeignKey(Revision, null=True, on_delete=models.PROTECT, related_name="+")

    entry_id = models.UUIDField()
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=16, choices=EntryKind)
    schema = models.PositiveSmallIntegerField()
    for_date = models.DateField()
    local_time = models.CharField(max_length=19)  # as the wall showed, never recomputed
    offset_min = models.SmallIntegerField()
    zone = models.CharField(max_length=64)
    device_ms = models.BigIntegerField()
    clock_changed = models.BooleanField(default=False)
    clock_offset_ms = models.BigIntegerField(null=True)
    logged_by = models.JSONField()
    of = models.UUIDField(null=True)  # the entry this one corrects or withdraws
    payload = models.JSONField()

    raw = models.TextField()
    sha256 = models.CharField(max_length=64)
    received_at = models.DateTimeField()
    version = models.PositiveBigIntegerField()

    class Meta:
        constraints = [
            # Unique per patient, so one clinic can never probe another's ids.
            models.UniqueConstraint(fields=["patient", "entry_id"], name="entry_once_per_patient"),
            models.UniqueConstraint(fields=["phone", "number"], name="entry_number_once_per_phone"),
            one_of("kind", EntryKind, "entry_kind_is_known"),
        ]
        indexes = [
            # Flags and rebuilds read a patient's window of days.
            models.Index(fields=["patient", "for_date"], name="entry_patient_day"),
            # Flags look at what arrived of late, however old its day.
            models.Index(fields=["patient", "received_at"], name="entry_patient_received"),
            # Corrections look up what names their target.
            models.Index(
                fields=["patient", "of"], condition=Q(of__isnull=False), name="entry_patient_of"
            ),
        ]

    def __str__(self) -> str:
        return f"Entry {self.pk}"


class HeldEntry(Record):
    """In the clinic's custody though it cannot be used yet; a person will look."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="held_entries")
    phone = models.ForeignKey(Phone, on_delete=models.PROTECT, related_name="held_entries")
    entry_id = models.UUIDField(null=True)
    number = models.PositiveIntegerField(null=True)
    for_date = models.DateField(null=True)
    raw = models.TextField()
    sha256 = models.CharField(max_length=64)
    code = models.CharField(max_length=40)
    message = models.CharField(max_length=300)
    received_at = models.DateTimeField()
    version = models.PositiveBigIntegerField()
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    settled_note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["phone", "sha256"], name="held_once_per_phone"),
        ]


class NoteReading(Record):
    """A clinician says that they read a note; its patient hears when."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="note_readings")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="reading")
    read_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    read_at = models.DateTimeField()


class ChangeType(models.TextChoices):
    TEXTS = "texts"
    PROGRAM = "program"
    HOLD = "hold"
    LIFT = "lift"
    ENTRY = "entry"
    ENTRY_STATE = "entry_state"
    STRENGTH_TEST = "strength_test"


class Change(models.Model):
    """Something the phone must hear of, in the order it was committed."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="changes")
    version = models.PositiveBigIntegerField()
    type = models.CharField(max_length=14, choices=ChangeType)
    object_id = models.UUIDField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["patient", "version"], name="change_version_once"),
            one_of("type", ChangeType, "change_type_is_known"),
        ]

    def __str__(self) -> str:
        return f"Change {self.pk}"
