"""How a clinician likes the panel."""

from django.db import models

from homeprogram.models import Clinic, Clinician
from homeprogram.models.base import Record


class SavedView(Record):
    """What the panel shows this clinician where the address asks for nothing else."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    clinician = models.OneToOneField(Clinician, on_delete=models.PROTECT, related_name="saved_view")
    choice = models.JSONField()  # {filter or sort: value}; nothing about a person
    saved_at = models.DateTimeField()
