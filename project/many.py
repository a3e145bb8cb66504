"""The clock's jobs on procrastinate, for several machines: `BOUTWISE_CLOCK=procrastinate`.

One worker of all takes each job of each minute; what it claims there no other has.
A round that was lost with its worker is the next minute's. One that broke off
because its time was up is put in line again at once, behind whatever waits.
"""

from contextlib import suppress

from procrastinate.contrib.django import app
from procrastinate.exceptions import AlreadyEnqueued

from clinician.services.clock import JOBS, job_run

EVERY_MINUTE = "* * * * *"


def _task(job: str) -> None:
    # At most one round of a job waits, however long all workers were away.
    @app.periodic(cron=EVERY_MINUTE)
    @app.task(name=f"clock.{job}", queueing_lock=f"clock.{job}")
    def run(timestamp: int) -> str:  # the minute; our own clock is asked
        ran = job_run(job=job)
        if ran.more:
            with suppress(AlreadyEnqueued):
                run.defer(timestamp=timestamp)
        return ran.did


for _job in JOBS:
    _task(_job)
