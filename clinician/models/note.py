"""The clinic's own notes about a patient, signed, and what is added to them later."""

from django.db import models
from django.db.models import Q

from homeprogram.models import Clinic, Clinician, Episode, Patient
from homeprogram.models.base import FrozenRecord

NOTE_PART_MAX = 4000  # [characters] of one section


class Signed(FrozenRecord):
    """Who signed, as they were called and what they were on that day, and when by which clock."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    signed_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    signer_name = models.CharField(max_length=120)
    signer_role = models.CharField(max_length=12)
    signed_at = models.DateTimeField()
    zone = models.CharField(max_length=64)

    class Meta:
        abstract = True


class SignedNote(Signed):
    """Subjective, objective, assessment, plan. Put right by an addendum, never changed."""

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="signed_notes")
    # Empty = about the patient as a whole.
    episode = models.ForeignKey(
        Episode, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    about_on = models.DateField()
    late = models.BooleanField()  # signed later than the day after the day it is about
    subjective = models.TextField(max_length=NOTE_PART_MAX, blank=True)
    objective = models.TextField(max_length=NOTE_PART_MAX, blank=True)
    assessment = models.TextField(max_length=NOTE_PART_MAX)
    plan = models.TextField(max_length=NOTE_PART_MAX)
    # What the machine drew from the log, before a person signed it as theirs:
    # {objective, first, last, cut_off, up_to}.
    drawn = models.JSONField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(assessment="") & ~Q(plan=""), name="note_says_what_is_thought_and_done"
            ),
        ]
        indexes = [
            models.Index(fields=["patient", "signed_at"], name="note_of_patient"),
        ]


class Addendum(Signed):
    """What was left out or wrong in a note; the note stands beside it as it was."""

    note = models.ForeignKey(SignedNote, on_delete=models.PROTECT, related_name="addenda")
    text = models.TextField(max_length=NOTE_PART_MAX)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=~Q(text=""), name="addendum_says_something"),
        ]
