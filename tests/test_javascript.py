"""Runs the patient modules' own tests under Node, so that one command runs all."""

import subprocess
from pathlib import Path

import pytest

from tests.support.needs import need, node

TESTS = Path(__file__).resolve().parent / "js"


@pytest.mark.node
def test_the_patient_modules_pass_their_own_tests():
    program = node()
    if not (TESTS / "node_modules").exists():
        subprocess.run(["npm", "install", "--silent"], cwd=TESTS, check=False)
    need((TESTS / "node_modules").exists(), "fake-indexeddb (npm install in tests/js)")
    files = sorted(str(path) for path in TESTS.glob("*.test.js"))

    run = subprocess.run(
        [program, "--test", *files], cwd=TESTS, capture_output=True, text=True, check=False
    )

    assert files
    assert run.returncode == 0, run.stdout[-5000:] + run.stderr[-2000:]
