"""Reminders: what was agreed with a patient, what went out, and who wants none."""

from django.db import models
from django.db.models import Q

from homeprogram.models import Clinic, Clinician, Patient
from homeprogram.models.base import Record, one_of


class Way(models.TextChoices):
    """How a reminder reaches a patient."""

    PUSH = "push", "notice on the phone"
    EMAIL = "email", "e-mail"
    TEXT = "text", "text message"


class ReminderSetting(Record):
    """One patient's reminders as agreed. Its row is the lock of everything that sends."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.OneToOneField(
        Patient, on_delete=models.PROTECT, related_name="reminder_setting"
    )
    on = models.BooleanField(default=False)
    times = models.JSONField(default=list)  # ["18:00"], on the wall where the patient is
    ways = models.JSONField(default=list)  # of Way, the first that works takes it
    email = models.EmailField(blank=True)
    mobile = models.CharField(max_length=20, blank=True)  # +, country and number
    language = models.CharField(max_length=5, default="en")
    # Nothing goes out for a moment before this: a setting makes no reminder late.
    since = models.DateTimeField()
    set_by = models.ForeignKey(Clinician, null=True, on_delete=models.PROTECT, related_name="+")
    # When the clock must look at this patient next; null = never.
    next_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [
            # The clock asks every minute who is due.
            models.Index(
                fields=["next_at"], condition=Q(next_at__isnull=False), name="reminder_setting_next"
            ),
        ]


class ReminderKind(models.TextChoices):
    DUE = "due", "reminder"
    CONTACT = "contact", "contact request"


class ReminderOutcome(models.TextChoices):
    CLAIMED = "claimed", "being sent"
    LATER = "later", "to be tried again"
    SENT = "sent", "sent"
    UNKNOWN = "unknown", "not known whether it went out"
    FAILED = "failed", "could not be delivered"
    DROPPED = "dropped", "no longer needed"
    STOPPED = "stopped", "stopped by the patient"


# Such a message went out or may have: it takes the day.
OUT = (
    ReminderOutcome.CLAIMED,
    ReminderOutcome.LATER,
    ReminderOutcome.SENT,
    ReminderOutcome.UNKNOWN,
)


class Reminder(Record):
    """One message to one patient. Claimed before it is sent, so that it is sent at most once."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="reminders")
    kind = models.CharField(max_length=8, choices=ReminderKind)
    day = models.DateField()  # the patient's
    due_at = models.DateTimeField()
    until = models.DateTimeField()  # past this it is dropped
    way = models.CharField(max_length=5, choices=Way)
    wording = models.CharField(max_length=16)
    outcome = models.CharField(
        max_length=8, choices=ReminderOutcome, default=ReminderOutcome.CLAIMED
    )
    tries = models.PositiveSmallIntegerField(default=1)
    claimed_at = models.DateTimeField()
    lease_until = models.DateTimeField()  # a claim older than this has lost its worker
    retry_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)  # sent, or given up
    why = models.CharField(max_length=40, blank=True)  # a code, never what a server wrote
    by = models.ForeignKey(Clinician, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            one_of("way", Way, "reminder_way_is_known"),
            one_of("kind", ReminderKind, "reminder_kind_is_known"),
            one_of("outcome", ReminderOutcome, "reminder_outcome_is_known"),
            # Whatever goes wrong above, no patient gets two on one day.
            models.UniqueConstraint(
                fields=["patient", "day"],
                condition=Q(outcome__in=OUT),
                name="reminder_one_a_day",
            ),
        ]
        indexes = [
            # What the clock must try again, or give up.
            models.Index(
                fields=["lease_until"],
                condition=Q(outcome__in=("claimed", "later")),
                name="reminder_unfinished",
            ),
            # The last weeks of one patient, and of one clinic.
            models.Index(fields=["patient", "due_at"], name="reminder_of_patient"),
            models.Index(fields=["clinic", "due_at"], name="reminder_of_clinic"),
        ]


class OptOut(Record):
    """A patient's no to one way of being reminded. Never deleted; a later yes ends it."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="opt_outs")
    way = models.CharField(max_length=5, choices=Way)
    at = models.DateTimeField()
    # From which message; null = told to the clinic, or stopped in the app.
    reminder = models.ForeignKey(Reminder, null=True, on_delete=models.PROTECT, related_name="+")
    told_to = models.ForeignKey(Clinician, null=True, on_delete=models.PROTECT, related_name="+")
    ended_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(Clinician, null=True, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            one_of("way", Way, "opt_out_way_is_known"),
            models.UniqueConstraint(
                fields=["patient", "way"], condition=Q(ended_at=None), name="opt_out_once_in_force"
            ),
        ]
        indexes = [models.Index(fields=["clinic", "at"], name="opt_out_of_clinic")]
