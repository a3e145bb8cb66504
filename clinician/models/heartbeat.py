"""That the clock's jobs still run."""

from django.db import models


class Heartbeat(models.Model):
    """The last round of one job, on whatever machine it ran."""

    job = models.CharField(max_length=40, primary_key=True)
    beat_at = models.DateTimeField()
    every_s = models.PositiveIntegerField()  # how often it is meant to run
    did = models.CharField(max_length=120, blank=True)  # counts only
    failed = models.PositiveIntegerField(default=0)
    took_ms = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"Heartbeat {self.job}"
