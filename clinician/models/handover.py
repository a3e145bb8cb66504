"""Who took over whose care: one row a patient, for ever."""

from django.db import models
from django.db.models import Q

from homeprogram.models import Clinic, Clinician, Patient
from homeprogram.models.base import Record


class Handover(Record):
    """A patient's care went from one clinician to another; `batch` = done in one act."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="handovers")
    batch = models.UUIDField()
    before = models.ForeignKey(Clinician, null=True, on_delete=models.PROTECT, related_name="+")
    after = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["batch", "patient"], name="handover_once_per_batch"),
            models.CheckConstraint(
                condition=Q(undone_at=None, undone_by=None)
                | Q(undone_at__isnull=False, undone_by__isnull=False),
                name="handover_undone_by_somebody",
            ),
        ]
