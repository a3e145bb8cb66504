"""The same tests of the record on PostgreSQL that ran on SQLite."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support import postgres
from tests.support.needs import need

ROOT = Path(__file__).resolve().parent.parent
SUITES = [f"tests/{name}" for name in ("api", "services", "selectors", "models", "commands")]
# The demo's own database is SQLite.
DEMO = "--ignore-glob=*/commands/test_demo*.py"
TWO_AT_ONCE = ("-n", "2", "--dist", "loadfile")


@pytest.mark.postgresql
@pytest.mark.skipif("DATABASE_URL" in os.environ, reason="this is the run on PostgreSQL")
def test_sync_services_and_selectors_hold_on_postgresql():
    need(postgres.available(), "PostgreSQL")

    with postgres.server() as url:
        run = subprocess.run(
            [
                sys.executable,
                "-m",
                "pytest",
                "-q",
                "-p",
                "no:cacheprovider",
                *TWO_AT_ONCE,
                DEMO,
                *SUITES,
            ],
            cwd=ROOT,
            env=os.environ | {"DATABASE_URL": url},
            capture_output=True,
            text=True,
            check=False,
        )

    assert run.returncode == 0, run.stdout[-6000:] + run.stderr[-2000:]
    assert " passed" in run.stdout
