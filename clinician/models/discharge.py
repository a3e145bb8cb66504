"""How an episode ended: the list that was gone through, and what the letter says."""

from django.db import models
from django.db.models import Q

from homeprogram.models import Clinic, Clinician, Episode, Patient
from homeprogram.models.base import FrozenRecord


class Discharge(FrozenRecord):
    """One end of one episode; an episode that was opened again may have several."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="discharges")
    ended_on = models.DateField()
    reason = models.CharField(max_length=300)
    # [{code, state: done or not_needed, because}], every item of the list.
    items = models.JSONField()
    unmet = models.JSONField(default=list, blank=True)  # conditions, as sentences
    home_plan = models.TextField(max_length=2000, blank=True)
    letter = models.JSONField()  # the figures as they were on that day
    discharged_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    discharged_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="discharge_has_a_reason"),
        ]
