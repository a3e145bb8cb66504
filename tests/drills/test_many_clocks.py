"""The clock's jobs on procrastinate: its workers find them, and several do each once."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

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
print(sorted(Heartbeat.objects.values_list("job", flat=True)))
print(sorted(ProcrastinateJob.objects.values_list("task_name", "status")))
print(sorted({one.task.name for one in app.periodic_registry.periodic_tasks.values()}))
"""


@pytest.mark.postgresql
def test_two_workers_run_each_job_of_a_minute_once(long_run):
    if not long_run:
        pytest.skip("three migrations of a durable database: with --long")
    need(postgres.available(), "PostgreSQL")
    with postgres.server(durable=True) as url:
        given = os.environ | {
            "DATABASE_URL": url,
            "BOUTWISE_MODE": "test",
            "BOUTWISE_CLOCK": "procrastinate",
            "BOUTWISE_NO_BOOTSTRAP": "1",
        }

        def manage(*words: str) -> str:
            run = subprocess.run(
                [sys.executable, "manage.py", *words],
                cwd=ROOT, env=given, capture_output=True, text=True, check=False,
            )  # fmt: skip
            assert run.returncode == 0, run.stdout + run.stderr
            return run.stdout

        manage("migrate", "--verbosity", "0")
        again = manage("shell", "--no-imports", "-c", PUT_IN_LINE).split()
        workers = [
            subprocess.Popen(
                [sys.executable, "manage.py", "procrastinate", "worker", "--one-shot"],
                cwd=ROOT, env=given, stderr=subprocess.DEVNULL,
            )
            for _ in range(2)
        ]  # fmt: skip
        codes = [worker.wait(timeout=120) for worker in workers]
        beats, jobs, periodic = manage("shell", "--no-imports", "-c", ASK).splitlines()

    assert codes == [0, 0]
    assert again == ["once", "flags", "once", "reminders", "once", "mail"]
    assert beats == "['flags', 'mail', 'reminders']"
    # A worker may have added its own minute's; whichever way, all were done.
    assert "failed" not in jobs
    assert jobs.count("succeeded") >= 3
    assert periodic == "['clock.flags', 'clock.mail', 'clock.reminders']"
