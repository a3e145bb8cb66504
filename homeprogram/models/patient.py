"""The patient, what they agreed to, and the episode of care for one limb."""

from django.db import models
from django.db.models import F, Q

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.user import Clinician


class Patient(Record):
    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="patients")
    name = models.CharField(max_length=120)
    born_on = models.DateField(null=True, blank=True)
    telephone = models.CharField(max_length=40, blank=True)
    zone = models.CharField(max_length=64)
    clinician = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="patients"
    )
    # Thresholds of this patient's flags; only what differs from the clinic's.
    rules = models.JSONField(default=dict, blank=True)
    # Counts everything the phone must hear of; taken under a row lock, so the
    # order of versions is the order of commits and a gap proves a fault.
    log_version = models.PositiveBigIntegerField(default=0)
    reviewed_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField()
    archived_at = models.DateTimeField(null=True, blank=True)
    # When the clock must look at the flags next; null = at its next round.
    flags_next_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [
            # The clock asks every minute whose flags are to be looked at.
            models.Index(
                fields=["flags_next_at"],
                condition=Q(archived_at=None),
                name="patient_flags_next",
            ),
            # The panel lists one clinic's current patients.
            models.Index(
                fields=["clinic"], condition=Q(archived_at=None), name="patient_current_of_clinic"
            ),
        ]

    @property
    def initials(self) -> str:
        return "".join(part[0] for part in self.name.split()[:2]).upper()


class Consent(Record):
    """A patient's yes to the home program and to keeping its record."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="consents")
    given_on = models.DateField()
    guardian_name = models.CharField(max_length=120, blank=True)
    # Who helps at home: a bout may name them as the one who logged it.
    helper_name = models.CharField(max_length=120, blank=True)
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    withdrawn_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(withdrawn_on=None) | Q(withdrawn_on__gte=F("given_on")),
                name="consent_not_withdrawn_before_given",
            ),
            models.UniqueConstraint(
                fields=["patient"], condition=Q(withdrawn_on=None), name="consent_one_in_force"
            ),
        ]


class Limb(models.TextChoices):
    LEFT = "left"
    RIGHT = "right"


class Pathway(models.TextChoices):
    PRE_OPERATIVE = "pre_operative", "before surgery"
    POST_OPERATIVE = "post_operative", "after surgery"
    CONSERVATIVE = "conservative", "no surgery planned"


class Episode(Record):
    """Care of one limb, from referral to discharge."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="episodes")
    limb = models.CharField(max_length=5, choices=Limb)
    pathway = models.CharField(max_length=16, choices=Pathway)
    procedure = models.CharField(max_length=160, blank=True)
    surgery_on = models.DateField(null=True, blank=True)
    # The surgeon's words, as told; exercises are chosen within them.
    surgeon_limits = models.CharField(max_length=500, blank=True)
    starts_on = models.DateField()
    ended_on = models.DateField(null=True, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("limb", Limb, "episode_limb_is_known"),
            one_of("pathway", Pathway, "episode_pathway_is_known"),
            models.UniqueConstraint(
                fields=["patient", "limb"], condition=Q(ended_on=None), name="episode_one_per_limb"
            ),
            models.CheckConstraint(
                condition=Q(ended_on=None) | Q(ended_on__gte=F("starts_on")),
                name="episode_not_ended_before_start",
            ),
            models.CheckConstraint(
                condition=~Q(pathway="post_operative") | Q(surgery_on__isnull=False),
                name="episode_after_surgery_has_a_date",
            ),
        ]
