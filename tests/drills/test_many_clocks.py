"""The clock's jobs on procrastinate: its workers find them, and several do each once."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from clinician.services.clock import JOBS
from tests.support import postgres
from tests.support.needs import need

ROOT = Path(__file__).resolve().parents[2]
# Two machines' worth of the same minute: each job is put in line once.
PUT_IN_LINE = """
from procrastinate.contrib.django import app
from procrastinate.exceptions import AlreadyEnqueued
from clinician.services.clock import JOBS
for job in (*JOBS, *JOBS):
    try:
        app.configure_task(f"clock.{job}", queueing_lock=f"clock.{job}").defer(timestamp=0)
    except AlreadyEnqueued:
        print("once", job)
"""
ASK = """
from clinician.models import Heartbeat
from procrastinate.contrib.django import app
from procrastinate.contrib.django.models import ProcrastinateJob
print(*sorted(Heartbeat.objects.values_list("job", flat=True)))
print(*sorted({one.task.name for one in app.periodic_registry.periodic_tasks.values()}))
print(*ProcrastinateJob.objects.values_list("status", flat=True))
"""


# A job whose rounds break off three times, on a real worker.
BREAK_OFF = """
from django.core.management import call_command
from procrastinate.contrib.django import app
from procrastinate.contrib.django.models import ProcrastinateJob
from clinician.services import clock
left = [True] * 3
clock.JOBS["photos"] = lambda given: clock.Ran("photos", "", more=bool(left) and left.pop())
rounds = ProcrastinateJob.objects.filter(task_name="clock.photos", status="succeeded")
before = rounds.count()
app.configure_task("clock.photos", queueing_lock="clock.photos").defer(timestamp=0)
call_command("procrastinate", "worker", "--one-shot")
print(rounds.count() - before, left)
"""


@pytest.fixture(scope="module")
def machine(pytestconfig):
    """`machine(words)` starts a command of ours on a new database."""
    if not pytestconfig.getoption("--long"):
        pytest.skip("three migrations of a durable database: with --long")
    need(postgres.available(), "PostgreSQL")
    with postgres.server(durable=True) as url:
        given = os.environ | {
            "DATABASE_URL": url,
            "BOUTWISE_MODE": "test",
            "BOUTWISE_CLOCK": "procrastinate",
            "BOUTWISE_NO_BOOTSTRAP": "1",
        }

        def start(*words: str) -> subprocess.Popen:
            return subprocess.Popen(
                [sys.executable, "manage.py", *words],
                cwd=ROOT, env=given, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            )  # fmt: skip

        done(start("migrate", "--verbosity", "0"))
        yield start


def done(command: subprocess.Popen) -> str:
    out, err = command.communicate(timeout=120)
    assert command.returncode == 0, out + err
    return out


@pytest.mark.postgresql
def test_two_workers_run_each_job_of_a_minute_once(machine):
    again = done(machine("shell", "--no-imports", "-c", PUT_IN_LINE)).split()
    workers = [machine("procrastinate", "worker", "--one-shot") for _ in range(2)]
    for worker in workers:
        done(worker)
    beats, periodic, jobs = done(machine("shell", "--no-imports", "-c", ASK)).splitlines()

    assert again == [word for job in JOBS for word in ("once", job)]
    assert beats.split() == sorted(JOBS)
    assert periodic.split() == sorted(f"clock.{job}" for job in JOBS)
    # A worker may have added its own minute's; whichever way, all were done.
    assert set(jobs.split()) == {"succeeded"}
    assert len(jobs.split()) >= len(JOBS)


@pytest.mark.postgresql
def test_a_round_that_broke_off_is_followed_by_the_next_without_waiting_for_its_minute(machine):
    rounds, left = done(machine("shell", "--no-imports", "-c", BREAK_OFF)).split()

    assert int(rounds) >= 4
    assert left == "[]"
