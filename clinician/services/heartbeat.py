"""A job of the clock says that it ran, and what it did."""

from datetime import datetime

from clinician.models import Heartbeat


def job_beat(
    *, job: str, now: datetime, every_s: int, did: str = "", failed: int = 0, took_ms: int = 0
) -> None:
    """The last round of that job; `did` = counts, nothing about a person."""
    said = {"beat_at": now, "every_s": every_s, "did": did, "failed": failed, "took_ms": took_ms}
    Heartbeat.objects.update_or_create(job=job, defaults=said)
