"""The clinic: tenant of every other row, and its fixed texts."""

from django.db import models

from homeprogram.models.base import Record


class Clinic(Record):
    name = models.CharField(max_length=120)
    phone_number = models.CharField(max_length=40)
    hours = models.CharField(max_length=200)
    out_of_hours = models.CharField(max_length=300)
    emergency_number = models.CharField(max_length=20)
    zone = models.CharField(max_length=64, default="UTC")
    # Only what differs from calc.limits; empty means the defaults hold.
    rules = models.JSONField(default=dict, blank=True)
    # When a course may be reviewed; likewise only what differs.
    course = models.JSONField(default=dict, blank=True)
    texts = models.JSONField(default=dict, blank=True)
    # Quiet hours, hours of duty and the like; likewise only what differs.
    settings = models.JSONField(default=dict, blank=True)
    # Whole days the clinic is closed, and which clinician answers: what its phones are told.
    closed_days = models.JSONField(default=list, blank=True)
    created_at = models.DateTimeField()


class LogIdentity(models.Model):
    """Names this copy of the log; redrawn when an older copy is restored."""

    id = models.PositiveSmallIntegerField(primary_key=True, default=1)
    identity = models.UUIDField()
    drawn_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(id=1), name="log_identity_is_single"),
        ]

    def __str__(self) -> str:
        return f"LogIdentity {self.identity}"
