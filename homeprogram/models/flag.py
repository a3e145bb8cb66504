"""Flags for the clinic, holds for the phone."""

from django.db import models
from django.db.models import Q

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.entry import Entry
from homeprogram.models.patient import Episode, Patient
from homeprogram.models.user import Clinician


class FlagState(models.TextChoices):
    OPEN = "open"
    CLOSED = "closed"  # by a clinician, with a reason
    CLEARED = "cleared"  # by itself: the rule no longer holds


class FlagOutcome(models.TextChoices):
    """What came of it, as the clinician says who closed it."""

    ACTED_ON = "acted_on", "acted on"
    NOTHING_NEEDED = "nothing_needed", "looked at, nothing needed"
    WRONG = "wrong", "wrong: it should not have been raised"


class FlagDeed(models.TextChoices):
    """What happened to a card besides its facts."""

    SEEN = "seen", "seen"
    CLOSED = "closed", "closed"
    REMARK = "remark", "remark"
    CLEARED = "cleared", "cleared by itself"


class Flag(Record):
    """One card per patient, limb and reason, for ever; it opens and closes."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="flags")
    episode = models.ForeignKey(Episode, null=True, on_delete=models.PROTECT, related_name="flags")
    reason = models.CharField(max_length=30)
    rule_version = models.PositiveSmallIntegerField()
    safety = models.BooleanField()
    state = models.CharField(max_length=8, choices=FlagState, default=FlagState.OPEN)
    count = models.PositiveIntegerField(default=1)
    fact_at = models.DateTimeField()  # the newest fact behind it
    basis = models.JSONField()
    opened_at = models.DateTimeField()
    # Unseen since: a newer fact on a card that was seen makes it unseen again.
    waits_since = models.DateTimeField(null=True, blank=True)
    seen_at = models.DateTimeField(null=True, blank=True)
    seen_by = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    outcome = models.CharField(max_length=14, choices=FlagOutcome, blank=True, default="")
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    close_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            one_of("state", FlagState, "flag_state_is_known"),
            models.UniqueConstraint(
                fields=["patient", "episode", "reason"],
                condition=Q(episode__isnull=False),
                name="flag_one_card_per_limb_and_reason",
            ),
            models.UniqueConstraint(
                fields=["patient", "reason"],
                condition=Q(episode=None),
                name="flag_one_card_per_patient_and_reason",
            ),
            models.CheckConstraint(
                condition=~Q(state="closed") | (Q(closed_by__isnull=False) & ~Q(close_reason="")),
                name="flag_closed_by_somebody_with_a_reason",
            ),
            models.CheckConstraint(
                condition=~Q(safety=True) | ~Q(state="cleared"),
                name="flag_for_safety_never_clears_itself",
            ),
            models.CheckConstraint(
                condition=Q(outcome="") | Q(outcome__in=FlagOutcome.values),
                name="flag_outcome_is_known",
            ),
            models.CheckConstraint(
                condition=Q(seen_at=None, seen_by=None)
                | Q(seen_at__isnull=False, seen_by__isnull=False),
                name="flag_seen_by_somebody",
            ),
        ]
        indexes = [
            models.Index(fields=["clinic"], condition=Q(state="open"), name="flag_open_of_clinic"),
        ]


class FlagEvent(Record):
    """What was done about a card, for ever: the card itself opens and closes anew."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    flag = models.ForeignKey(Flag, on_delete=models.PROTECT, related_name="events")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=30)  # of the flag: the rule
    rule_version = models.PositiveSmallIntegerField()
    deed = models.CharField(max_length=7, choices=FlagDeed)
    outcome = models.CharField(max_length=14, choices=FlagOutcome, blank=True, default="")
    words = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    opened_at = models.DateTimeField()  # the opening of the card that it is about
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("deed", FlagDeed, "flag_event_deed_is_known"),
            models.CheckConstraint(
                condition=Q(deed="closed", outcome__in=FlagOutcome.values)
                | (~Q(deed="closed") & Q(outcome="")),
                name="flag_event_closed_with_an_outcome",
            ),
            models.CheckConstraint(
                condition=Q(deed="cleared", by=None) | (~Q(deed="cleared") & Q(by__isnull=False)),
                name="flag_event_by_somebody",
            ),
        ]
        indexes = [models.Index(fields=["clinic", "at"], name="flag_event_of_clinic")]


class HoldScope(models.TextChoices):
    LIMB = "limb", "this limb"
    ALL = "all", "everything"


class Lift(Record):
    """A clinician's decision to end holds, naming exactly the entries it covers."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="lifts")
    reason = models.CharField(max_length=300)
    lifted_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    lifted_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(reason=""), name="lift_has_a_reason"),
        ]


class Hold(Record):
    """No new bout while an entry that raised a hold is not covered by a lift."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="holds")
    episode = models.ForeignKey(Episode, null=True, on_delete=models.PROTECT, related_name="holds")
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="hold")
    scope = models.CharField(max_length=4, choices=HoldScope)
    reason = models.CharField(max_length=40)
    first_day = models.DateField()
    placed_at = models.DateTimeField()
    lift = models.ForeignKey(Lift, null=True, on_delete=models.PROTECT, related_name="holds")

    class Meta:
        constraints = [
            one_of("scope", HoldScope, "hold_scope_is_known"),
            models.CheckConstraint(
                condition=~Q(scope="limb") | Q(episode__isnull=False),
                name="hold_of_a_limb_names_it",
            ),
        ]
