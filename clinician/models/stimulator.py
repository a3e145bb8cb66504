"""The clinic's own stimulators, each by its asset number, and who has one at home."""

from django.db import models
from django.db.models import Q

from homeprogram.models import Clinic, Clinician, Patient, StimulatorProfile
from homeprogram.models.base import FrozenRecord, Record, one_of


class Stimulator(Record):
    """One that the clinic lends. Its columns say how it is now, its log how it came to be."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    profile = models.ForeignKey(StimulatorProfile, on_delete=models.PROTECT, related_name="+")
    asset_number = models.CharField(max_length=40)
    leads = models.CharField(max_length=120, blank=True)
    checked_on = models.DateField(null=True, blank=True)
    check_due_on = models.DateField(null=True, blank=True)
    cleaned_at = models.DateTimeField(null=True, blank=True)
    quarantined_at = models.DateTimeField(null=True, blank=True)
    quarantine_reason = models.CharField(max_length=300, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)  # out of use for good
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["clinic", "asset_number"], name="asset_number_once"),
            models.CheckConstraint(
                condition=Q(quarantined_at=None) | ~Q(quarantine_reason=""),
                name="asset_quarantine_has_a_reason",
            ),
        ]


class StimulatorAct(models.TextChoices):
    CHECKED = "checked", "safety check passed"
    CLEANED = "cleaned"
    QUARANTINED = "quarantined", "put in quarantine"
    RELEASED = "released", "released from quarantine"
    RETIRED = "retired", "out of use for good"


class StimulatorEvent(FrozenRecord):
    """What was done to one stimulator, by whom, why."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    stimulator = models.ForeignKey(Stimulator, on_delete=models.PROTECT, related_name="events")
    act = models.CharField(max_length=11, choices=StimulatorAct)
    on = models.DateField()
    due_on = models.DateField(null=True, blank=True)  # of a check: when the next one is
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("act", StimulatorAct, "stimulator_act_is_known")]


class Loan(Record):
    """One stimulator at one patient's home, from hand-out to return."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    stimulator = models.ForeignKey(Stimulator, on_delete=models.PROTECT, related_name="loans")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="loans")
    went_with = models.CharField(max_length=200, blank=True)  # leads, pads, charger
    lent_at = models.DateTimeField()
    lent_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    due_back_on = models.DateField()
    # Why a lead let it go although it was in quarantine or its check was overdue.
    override_reason = models.CharField(max_length=300, blank=True)
    returned_at = models.DateTimeField(null=True, blank=True)
    returned_to = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    return_note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["stimulator"], condition=Q(returned_at=None), name="loan_one_at_a_time"
            ),
            models.CheckConstraint(
                condition=Q(returned_at=None, returned_to=None)
                | Q(returned_at__isnull=False, returned_to__isnull=False),
                name="loan_returned_to_somebody",
            ),
        ]
        indexes = [
            models.Index(
                fields=["patient"], condition=Q(returned_at=None), name="loan_open_of_patient"
            ),
        ]
