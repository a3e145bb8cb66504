"""The contact log: who of the clinic was in touch with whom, when, how, how long."""

from django.db import models

from homeprogram.models import Clinic, Clinician, Patient, Visit
from homeprogram.models.base import FrozenRecord, in_range, one_of


class ContactWay(models.TextChoices):
    TELEPHONE = "telephone"
    CLINIC = "clinic", "visit at the clinic"
    HOME = "home", "home visit"
    VIDEO = "video", "video call"
    MESSAGE = "message"
    LETTER = "letter"


class ContactDirection(models.TextChoices):
    OUT = "out", "from the clinic"
    IN = "in", "from the patient"


class ContactAbout(models.TextChoices):
    REVIEW = "review", "the weekly review"
    ASKED = "asked", "what the patient asked"
    BOUTS = "bouts", "bouts not done or not heard of"
    DOSE = "dose", "dose or intensity"
    SKIN = "skin", "skin"
    PAIN = "pain", "pain or swelling"
    SYMPTOMS = "symptoms", "other symptoms"
    STIMULATOR = "stimulator", "stimulator, leads or pads"
    PHONE = "phone", "phone or app"
    TEST = "test", "strength test"
    APPOINTMENT = "appointment", "an appointment"
    INCIDENT = "incident", "an incident"
    OTHER = "other"


class ContactOutcome(models.TextChoices):
    DONE = "done", "spoke, or sent and received"
    NOT_REACHED = "not_reached", "did not reach them"
    CALL_BACK = "call_back", "they ask to be called back"


class Contact(FrozenRecord):
    """One contact. Never changed (database trigger): a later row that names it corrects it."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="contacts")
    by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    way = models.CharField(max_length=9, choices=ContactWay)
    direction = models.CharField(max_length=3, choices=ContactDirection)
    outcome = models.CharField(max_length=11, choices=ContactOutcome)
    minutes = models.PositiveSmallIntegerField(null=True, blank=True)  # empty = not timed
    about = models.CharField(max_length=11, choices=ContactAbout)
    note = models.CharField(max_length=1000, blank=True)
    # A visit is a contact too; its row is written with it, so that none counts twice.
    visit = models.OneToOneField(
        Visit, null=True, blank=True, on_delete=models.PROTECT, related_name="contact"
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("way", ContactWay, "contact_way_is_known"),
            one_of("direction", ContactDirection, "contact_direction_is_known"),
            one_of("about", ContactAbout, "contact_about_is_known"),
            one_of("outcome", ContactOutcome, "contact_outcome_is_known"),
            in_range("minutes", 0, 600, "contact_minutes_0_to_600"),
        ]
        indexes = [
            # A patient's log, and the months of a clinic.
            models.Index(fields=["patient", "at"], name="contact_of_patient"),
            models.Index(fields=["clinic", "at"], name="contact_of_clinic"),
        ]
