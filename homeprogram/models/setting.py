"""Who changed which setting, when: the clinic's own, or one patient's."""

from django.db import models

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Patient
from homeprogram.models.user import Clinician


class SettingKind(models.TextChoices):
    TEXTS = "texts", "texts"
    RULES = "rules", "thresholds"
    COURSE = "course", "course"
    SETTINGS = "settings", "clinic"
    STAFF = "staff", "staff"
    ROSTER = "roster", "roster"


class SettingChange(Record):
    """Only the values that changed, before and after; never changed itself."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    kind = models.CharField(max_length=8, choices=SettingKind)
    # Whose thresholds, or about which colleague; neither for the clinic as a whole.
    patient = models.ForeignKey(
        Patient, null=True, blank=True, on_delete=models.PROTECT, related_name="setting_changes"
    )
    person = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    before = models.JSONField()
    after = models.JSONField()
    reason = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("kind", SettingKind, "setting_change_kind_is_known"),
            models.CheckConstraint(
                condition=models.Q(patient=None) | ~models.Q(reason=""),
                name="setting_change_for_a_patient_says_why",
            ),
        ]
        indexes = [models.Index(fields=["clinic", "at"], name="setting_change_of_clinic")]
