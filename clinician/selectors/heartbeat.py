"""Whether the clock's jobs still run, on whatever machine."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from clinician.models import Heartbeat

# Rounds a job may miss before somebody should look; common practice, no source.
ROUNDS_MISSED = 5
# What every clinic's server must be running; a job never heard of is silent too.
JOBS = ("flags", "mail", "reminders", "photos")


@dataclass(frozen=True, slots=True)
class SilentJob:
    job: str
    since: datetime | None  # None = it never ran


def silent_jobs(*, now: datetime) -> list[SilentJob]:
    """Jobs of the clock that have not run for too long."""
    heard = {beat.job: beat for beat in Heartbeat.objects.all()}
    return [
        SilentJob(job, heard[job].beat_at if job in heard else None)
        for job in JOBS
        if job not in heard or now - heard[job].beat_at > _patience(heard[job])
    ]


def _patience(beat: Heartbeat) -> timedelta:
    return timedelta(seconds=beat.every_s * ROUNDS_MISSED)
