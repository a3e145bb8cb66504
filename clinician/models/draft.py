"""Forms that somebody began and has not sent."""

from django.db import models

from homeprogram.models import Clinic, Clinician
from homeprogram.models.base import Record


class Draft(Record):
    """A form as one clinician left it. It outlives the session, and goes when it is saved."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    clinician = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=60)  # which form: "program-" and the episode's id
    data = models.JSONField()  # {field: [values as typed]}
    saved_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["clinician", "key"], name="draft_once_per_form"),
        ]
