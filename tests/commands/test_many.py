"""The clock's jobs on procrastinate, without a database: what a worker does in which order."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# The round of reminders breaks off twice; each job says that it ran.
WORK = """
import django
django.setup()
from procrastinate import testing
from procrastinate.contrib.django import app
from clinician.services import clock

left = [True, True]

def says(job):
    def ran(given):
        print(job, flush=True)
        return clock.Ran(job, "", more=job == "reminders" and bool(left) and left.pop())
    return ran

clock.JOBS.update({job: says(job) for job in clock.JOBS})
clock.job_beat = lambda **_: None
with app.replace_connector(testing.InMemoryConnector()) as app:
    for job in clock.JOBS:
        app.configure_task(f"clock.{job}", queueing_lock=f"clock.{job}").defer(timestamp=0)
    app.periodic_registry.periodic_tasks.clear()
    app.run_worker(wait=False, listen_notify=False)
"""


def test_a_round_that_broke_off_stands_in_line_again_behind_the_others():
    given = os.environ | {
        "DJANGO_SETTINGS_MODULE": "project.settings",
        "BOUTWISE_MODE": "test",
        "BOUTWISE_CLOCK": "procrastinate",
    }
    run = subprocess.run(
        [sys.executable, "-c", WORK],
        cwd=ROOT, env=given, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert run.returncode == 0, run.stderr
    order = "flags mail reminders photos reminders reminders"
    assert run.stdout.split() == order.split()
