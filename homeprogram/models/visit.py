"""What a clinician saw and did with a patient: at the clinic, at home, by telephone."""

from django.db import models

from homeprogram.models.base import FrozenRecord, in_range, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Episode, Patient
from homeprogram.models.prescribing import ObservedContraction
from homeprogram.models.program import Revision, StimulatorProfile
from homeprogram.models.user import Clinician


class VisitKind(models.TextChoices):
    CLINIC = "clinic", "at the clinic"
    HOME = "home", "at home"
    TELEPHONE = "telephone", "by telephone"


class Visit(FrozenRecord):
    """Written down by who made it. A correction is a new version; the old one stays."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="visits")
    kind = models.CharField(max_length=10, choices=VisitKind)
    on = models.DateField()
    note = models.CharField(max_length=2000, blank=True)
    measures = models.JSONField(default=dict, blank=True)  # by code, as calc.measures names them
    replaces = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by"
    )
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [one_of("kind", VisitKind, "visit_kind_is_known")]


class SupervisedBout(FrozenRecord):
    """A bout done under the clinician's eyes, which also finds start, floor and ceiling."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="supervised_bouts")
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="supervised_bouts")
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="bout")
    # What it is measured against; none before the first program.
    revision = models.ForeignKey(
        Revision, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    stimulator = models.ForeignKey(StimulatorProfile, on_delete=models.PROTECT, related_name="+")
    on = models.DateField()  # the patient's calendar day
    started_at = models.DateTimeField()
    minutes = models.FloatField()
    contractions = models.PositiveSmallIntegerField()
    intensity = models.JSONField()  # [{channel, start, floor, ceiling}] in the profile's unit
    contraction = models.CharField(max_length=14, choices=ObservedContraction)
    discomfort = models.PositiveSmallIntegerField()
    skin_before = models.PositiveSmallIntegerField()
    skin_after = models.PositiveSmallIntegerField()
    # The patient's phone tells of it as well; then its entry counts, not this row.
    on_phone = models.BooleanField(default=False)

    class Meta:
        constraints = [
            one_of("contraction", ObservedContraction, "supervised_contraction_is_known"),
            in_range("discomfort", 0, 10, "supervised_discomfort_0_to_10"),
            in_range("skin_before", 0, 4, "supervised_skin_before_0_to_4"),
            in_range("skin_after", 0, 4, "supervised_skin_after_0_to_4"),
        ]
        indexes = [models.Index(fields=["patient", "on"], name="supervised_bout_patient_day")]
