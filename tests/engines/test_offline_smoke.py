"""A day logged without a server, in every engine a package can give us.

`manage.py test --long tests/engines`; WebKitGTK is the nearest to an iPhone here.
"""

import json
from pathlib import Path

import pytest

from tests.browser.handset import differences
from tests.browser.live_clinic import LiveClinic
from tests.engines.engines import ENGINES
from tests.engines.patient import Patient

pytestmark = pytest.mark.browser

UNSENT = {"stored", "offered"}


@pytest.fixture(params=ENGINES)
def engine(request: pytest.FixtureRequest, tmp_path: Path, long_run):
    if not long_run:
        pytest.skip("Firefox, WebKitGTK and Chromium side by side run with --long.")
    engine = ENGINES[request.param](tmp_path / "profile")
    yield engine
    engine.kill()


@pytest.fixture
def clinic(engine, tmp_path: Path):
    clinic = LiveClinic(tmp_path / "clinic", "patient")
    yield clinic
    clinic.server.stop(kill=True)


def test_a_day_logged_without_a_server_outlives_kills_and_is_the_same_at_the_clinic(engine, clinic):
    owner = clinic.patient()
    patient = Patient(engine, clinic.url)
    print(engine.start())  # for whoever asks which version, with -s
    patient.pair(owner.code)
    engine.close()
    clinic.server.stop()

    engine.start()
    patient.open()
    patient.sees("0 of 1 done today")
    patient.begin_a_log(ma=42)
    engine.kill()

    engine.start()
    patient.open()
    patient.end_the_log()
    patient.check_the_skin()
    patient.sees("1 of 1 done today")
    saved = patient.rows()
    assert [row["kind"] for row in saved] == ["skin_check", "bout", "skin_check"]
    assert json.loads(saved[1]["body"])["payload"]["intensity"][0]["value"] == 42
    assert {row["state"] for row in saved} <= UNSENT
    engine.kill()

    engine.start()
    patient.open()
    patient.sees("1 of 1 done today")
    assert [row["body"] for row in patient.rows()] == [row["body"] for row in saved]
    assert clinic.entries(owner) == []

    clinic.server.start()
    patient.send()

    assert {row["state"] for row in patient.rows()} == {"confirmed"}
    assert differences(patient.rows(), clinic.entries(owner)) == []
    assert len(clinic.entries(owner)) == len(saved)
