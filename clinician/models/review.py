"""That somebody looked at a patient, how far, and what they decided."""

from django.db import models
from django.db.models import F, Q

from homeprogram.models import Clinic, Clinician, Episode, Patient
from homeprogram.models.base import FrozenRecord, one_of


class Outcome(models.TextChoices):
    CARRY_ON = "carry_on"
    CHANGE_DOSE = "change_dose"
    CONTACT = "contact"
    RETEST = "re_test", "Re-test"
    PAUSE = "pause"
    END = "end"


class Review(FrozenRecord):
    """One patient's weekly review. What it showed is kept as it was shown."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="reviews")
    reviewed_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    reviewed_at = models.DateTimeField()
    # The patient's log by its own count, not by time: what has a later version is new.
    since = models.PositiveBigIntegerField()
    up_to = models.PositiveBigIntegerField()
    outcome = models.CharField(max_length=12, choices=Outcome)
    # Which limb the outcome is about; null = the patient, or not kept then.
    episode = models.ForeignKey(
        Episode, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    shown = models.JSONField()

    class Meta:
        constraints = [
            one_of("outcome", Outcome, "review_outcome_is_known"),
            models.CheckConstraint(
                condition=Q(up_to__gte=F("since")), name="review_never_goes_back"
            ),
        ]
        indexes = [
            # The newest review of a patient is where the next one begins.
            models.Index(fields=["patient", "reviewed_at"], name="review_of_patient"),
        ]
