"""What people decided about a patient, in the order they did: a trail, never changed."""

from django.db import models

from homeprogram.models.base import FrozenRecord, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Episode, Patient
from homeprogram.models.user import Clinician


class DecisionKind(models.TextChoices):
    PROGRAM = "program", "home program assigned"
    REVISION = "revision", "dose changed"
    PAUSE = "pause", "paused"
    PAUSE_END = "pause_end", "pause ended"
    LIFT = "lift", "hold lifted"
    END = "end", "episode ended"
    REOPEN = "reopen", "episode re-opened"
    REVIEW = "review", "weekly review"
    NOTE = "note", "note signed"
    ADDENDUM = "addendum", "note added to"


class Decision(FrozenRecord):
    """One line of the trail; what it is about says the rest."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="decisions")
    episode = models.ForeignKey(
        Episode, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    kind = models.CharField(max_length=9, choices=DecisionKind)
    words = models.CharField(max_length=400, blank=True)
    about = models.UUIDField(null=True, blank=True)  # the row that was written: a note, a pause
    by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("kind", DecisionKind, "decision_kind_is_known")]
        indexes = [models.Index(fields=["patient", "at"], name="decision_of_patient")]
