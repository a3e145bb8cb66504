"""What a stimulator's own usage counter showed at a visit."""

from django.db import models
from django.db.models import Q

from clinician.models.stimulator import Stimulator
from homeprogram.models import Clinic, Counter, Patient, StimulatorProfile, Visit
from homeprogram.models.base import FrozenRecord, one_of


class CounterReading(FrozenRecord):
    """Read off at a visit; compared with the log since the reading before it."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="readings")
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="reading")
    profile = models.ForeignKey(StimulatorProfile, on_delete=models.PROTECT, related_name="+")
    # The clinic's own; empty where the patient has one of their own.
    stimulator = models.ForeignKey(
        Stimulator, null=True, blank=True, on_delete=models.PROTECT, related_name="readings"
    )
    at = models.DateTimeField()
    counts = models.CharField(max_length=5, choices=Counter)
    value = models.FloatField()

    class Meta:
        constraints = [
            one_of("counts", Counter, "reading_counts_what_is_known"),
            models.CheckConstraint(condition=Q(value__gte=0), name="reading_not_below_zero"),
        ]
