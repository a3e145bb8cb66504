"""Incidents: facts locked when saved, added to by dated supplements, closed by name."""

from django.db import models
from django.db.models import Q

from clinician.models.stimulator import Stimulator
from homeprogram.models import Clinic, Clinician, Episode, Patient, Revision
from homeprogram.models.base import FrozenRecord, in_range, one_of


class IncidentKind(models.TextChoices):
    BURN = "burn", "burn or skin injury"
    FALL = "fall"
    FAULT = "fault", "fault of the stimulator, leads or pads"
    OTHER = "other"


class IncidentWhen(models.TextChoices):
    DURING = "during", "during a bout"
    AFTER = "after", "within a day of a bout"
    ELSE = "else", "not near a bout"
    UNKNOWN = "unknown", "not known"


class Incident(FrozenRecord):
    """What happened, as it was told that day. The parameters in force are copied."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="incidents")
    episode = models.ForeignKey(
        Episode, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    kind = models.CharField(max_length=5, choices=IncidentKind)
    happened_at = models.DateTimeField()
    near = models.CharField(max_length=7, choices=IncidentWhen)
    place = models.CharField(max_length=120, blank=True)
    facts = models.CharField(max_length=2000)
    harm = models.CharField(max_length=500, blank=True)
    done = models.CharField(max_length=500, blank=True)  # what was done at once
    skin_grade = models.PositiveSmallIntegerField(null=True, blank=True)
    told_by = models.CharField(max_length=120)
    who_was_told = models.CharField(max_length=300, blank=True)
    # One of the clinic's own, or in words; the pads in words.
    stimulator = models.ForeignKey(
        Stimulator, null=True, blank=True, on_delete=models.PROTECT, related_name="incidents"
    )
    stimulator_told = models.CharField(max_length=120, blank=True)
    pads = models.CharField(max_length=200, blank=True)
    revision = models.ForeignKey(
        Revision, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    parameters = models.JSONField(default=list, blank=True)  # [[name, value]] as in force
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("kind", IncidentKind, "incident_kind_is_known"),
            one_of("near", IncidentWhen, "incident_near_is_known"),
            in_range("skin_grade", 0, 4, "incident_skin_grade_0_to_4"),
            models.CheckConstraint(condition=~Q(facts=""), name="incident_says_what_happened"),
        ]
        indexes = [models.Index(fields=["clinic", "happened_at"], name="incident_of_clinic")]


class IncidentSupplement(FrozenRecord):
    """Something learned or done later, and who was told of it."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    incident = models.ForeignKey(Incident, on_delete=models.PROTECT, related_name="supplements")
    text = models.CharField(max_length=1000)
    who_was_told = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()


class IncidentClosing(FrozenRecord):
    """A named clinician says that nothing more is to be done. Once."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    incident = models.OneToOneField(Incident, on_delete=models.PROTECT, related_name="closing")
    reason = models.CharField(max_length=500)
    by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="incident_closed_with_a_reason"),
        ]
