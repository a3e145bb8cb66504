"""Photos of the skin: who agreed to them, and each one, sealed."""

from django.db import models
from django.db.models import Q

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.entry import Entry
from homeprogram.models.patient import Patient
from homeprogram.models.phone import Phone
from homeprogram.models.user import Clinician


class PhotoAgreement(Record):
    """A patient's yes to photos of their skin, apart from their yes to the home program."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="photo_agreements")
    of_age = models.BooleanField()
    guardian_name = models.CharField(max_length=120, blank=True)
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    ended_by = models.ForeignKey(Clinician, null=True, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["patient"], condition=Q(ended_at=None), name="photo_agreement_one_in_force"
            ),
            models.CheckConstraint(
                condition=Q(of_age=True) | ~Q(guardian_name=""),
                name="photo_agreement_of_a_minor_has_a_guardian",
            ),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_by=None)
                | Q(ended_at__isnull=False, ended_by__isnull=False),
                name="photo_agreement_end_names_who",
            ),
        ]


class Gone(models.TextChoices):
    """Why a photo is kept no more."""

    NONE = "", "it is kept"
    CLINIC = "clinic", "removed by the clinic"
    PATIENT = "patient", "removed by the patient"
    AGREEMENT = "agreement", "the agreement ended"
    AGE = "age", "kept as long as the clinic keeps photos"


class SkinPhoto(Record):
    """A picture with one skin check. Once it is gone, only that it was there is kept."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="photos")
    phone = models.ForeignKey(Phone, on_delete=models.PROTECT, related_name="+")
    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="photos")
    photo_id = models.UUIDField()  # the phone's own name for it
    sha256 = models.CharField(max_length=64)  # of what the phone sent
    sealed = models.BinaryField(null=True)  # services/sealing.py opens it
    taken_at = models.DateTimeField()  # by the phone's clock
    received_at = models.DateTimeField()
    # The log's count as it came: a review up to less than this has not seen it.
    log_version = models.PositiveBigIntegerField()
    gone_at = models.DateTimeField(null=True)
    gone_why = models.CharField(max_length=9, choices=Gone, default=Gone.NONE, blank=True)
    gone_by = models.ForeignKey(Clinician, null=True, on_delete=models.PROTECT, related_name="+")
    gone_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            # Unique per patient, so one clinic can never probe another's ids.
            models.UniqueConstraint(fields=["patient", "photo_id"], name="photo_once_per_patient"),
            one_of("gone_why", Gone, "photo_gone_why_is_known"),
            models.CheckConstraint(
                condition=Q(gone_at=None, gone_why="", sealed__isnull=False)
                | Q(gone_at__isnull=False, sealed=None) & ~Q(gone_why=""),
                name="photo_gone_keeps_nothing",
            ),
            models.CheckConstraint(
                condition=~Q(gone_why="clinic") | Q(gone_by__isnull=False) & ~Q(gone_reason=""),
                name="photo_removed_by_the_clinic_says_who_and_why",
            ),
        ]
        indexes = [
            # The clock asks which have been kept long enough.
            models.Index(
                fields=["clinic", "received_at"], condition=Q(gone_at=None), name="photo_kept"
            ),
        ]
