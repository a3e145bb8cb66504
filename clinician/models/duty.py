"""When clinicians are there, and who answers while they are not."""

from django.db import models
from django.db.models import F, Q

from homeprogram.models import Clinic, Clinician
from homeprogram.models.base import Record


class WorkingWeek(Record):
    """The weekdays one clinician works, and who usually covers; without a row, Mon-Fri."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    clinician = models.OneToOneField(
        Clinician, on_delete=models.PROTECT, related_name="working_week"
    )
    weekdays = models.JSONField()  # Monday = 0
    cover = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(cover=None) | ~Q(cover=F("clinician")),
                name="working_week_cover_is_another",
            ),
        ]


class Absence(Record):
    """Days a clinician is away; without one, days the whole clinic is closed."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="absences")
    clinician = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="absences"
    )
    first_day = models.DateField()
    last_day = models.DateField()
    cover = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=200, blank=True)
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()
    taken_back_by = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(last_day__gte=F("first_day")), name="absence_days_in_order"
            ),
            models.CheckConstraint(
                condition=Q(clinician=None) | ~Q(cover=F("clinician")),
                name="absence_cover_is_another",
            ),
        ]
        indexes = [
            models.Index(
                fields=["clinic", "last_day"],
                condition=Q(taken_back_at=None),
                name="absence_of_clinic_by_day",
            ),
        ]
