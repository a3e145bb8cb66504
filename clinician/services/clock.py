"""The clock's jobs: what nobody's request asks for. Any number of copies may run each."""

import logging
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from django.conf import settings
from django.utils import timezone

from clinician.services.channels.routes import ROUTES
from clinician.services.heartbeat import job_beat
from clinician.services.reminders import reminders_tick
from clinician.services.staff_mails import staff_mails_tick
from homeprogram.services.flag_rounds import flags_tick
from homeprogram.services.photos import photos_tick

log = logging.getLogger(__name__)
EVERY_S = 60
# A push service that is slow must not keep safety mail and flags waiting.
REMINDERS_FOR_S = 30.0
Progress = Callable[[int, int], None] | None


@dataclass(frozen=True, slots=True)
class Ran:
    """What one round of a job did, in words with counts only."""

    job: str
    did: str
    failed: int = 0
    more: bool = False  # it broke off: its next round is to begin at once


@dataclass(frozen=True, slots=True)
class Round:
    """What a job is given: the address that messages lead to, and who watches."""

    site: str
    progress: Progress = None


def _flags(given: Round) -> Ran:
    tick = flags_tick(now=timezone.now(), progress=given.progress)
    did = f"Evaluated {tick.patients} patients, {tick.changed} changed, {tick.failed} failed"
    return Ran("flags", did, tick.failed)


def _mail(given: Round) -> Ran:
    done = staff_mails_tick(now=timezone.now(), site=given.site)
    return Ran("mail", f"Mail to clinicians: {done}", done.failed)


def _reminders(given: Round) -> Ran:
    done = reminders_tick(
        routes=ROUTES, site=given.site, progress=given.progress, for_s=REMINDERS_FOR_S
    )
    return Ran("reminders", f"Reminders: {done}", done.broken, done.more)


def _photos(given: Round) -> Ran:  # noqa: ARG001  every job is asked alike
    gone = photos_tick(now=timezone.now())
    return Ran("photos", f"Removed {gone} photos that were kept long enough")


# What safety rests on comes first.
JOBS: Mapping[str, Callable[[Round], Ran]] = {
    "flags": _flags,
    "mail": _mail,
    "reminders": _reminders,
    "photos": _photos,
}


def job_run(*, job: str, site: str = "", progress: Progress = None, every_s: int = EVERY_S) -> Ran:
    """One round of one job, and its heartbeat. `site` = the address that messages lead to."""
    began = time.monotonic()
    ran = JOBS[job](Round(site or settings.SITE_URL, progress))
    took_ms = round(1000 * (time.monotonic() - began))
    now = timezone.now()
    job_beat(job=job, now=now, every_s=every_s, did=ran.did, failed=ran.failed, took_ms=took_ms)
    return ran


def clock_round(*, site: str = "", progress: Progress = None, every_s: int = EVERY_S) -> list[Ran]:
    """Every job once; a job that breaks stops no other, and its heart stands still."""
    ran = []
    for job in JOBS:
        try:
            ran.append(job_run(job=job, site=site, progress=progress, every_s=every_s))
        except Exception as error:  # noqa: BLE001  told, and the next round tries again
            log.error("job %s: %s", job, type(error).__name__)
            ran.append(Ran(job, f"{job.capitalize()} broke", 1))
    return ran
