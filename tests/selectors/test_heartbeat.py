"""Which jobs of the clock have gone silent."""

from datetime import timedelta

from clinician.selectors.heartbeat import JOBS, silent_jobs
from clinician.services.heartbeat import job_beat


def beat_all(now, every_s: int = 60) -> None:
    for job in JOBS:
        job_beat(job=job, now=now, every_s=every_s)


def test_a_job_that_never_ran_is_silent(db, now):
    assert {one.job: one.since for one in silent_jobs(now=now)} == dict.fromkeys(JOBS)


def test_jobs_that_just_ran_are_not_silent(db, now):
    beat_all(now)

    assert silent_jobs(now=now + timedelta(minutes=5)) == []


def test_a_job_that_missed_more_than_five_rounds_is_silent_since_its_last_one(db, now):
    beat_all(now)
    later = now + timedelta(minutes=5, seconds=1)
    for job in JOBS[1:]:
        job_beat(job=job, now=later, every_s=60)

    assert [(one.job, one.since) for one in silent_jobs(now=later)] == [(JOBS[0], now)]


def test_the_newest_beat_counts_whichever_machine_it_came_from(db, now):
    beat_all(now)
    beat_all(now + timedelta(hours=1))

    assert silent_jobs(now=now + timedelta(hours=1)) == []
