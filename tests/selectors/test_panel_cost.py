"""The panel asks the same few questions of any clinic, of any age, whatever is chosen.

500 patients are in `python -m tests.benchmarks.panel`, which prints the same count.
"""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from homeprogram.services.patients import patient_add
from tests.benchmarks.data import history_write
from tests.conftest import PairedPhone, make_program
from tests.entries import skin
from tests.support.copies import copies_add
from tests.support.pushes import push_at

MOST = 12
CHOICES = ("", "?whose=mine&week=1-2&sort=name", "?reason=safety")
DAY = timedelta(days=1)


@pytest.fixture
def now() -> datetime:
    return datetime.now(tz=UTC)  # as the page has it


@pytest.fixture
def add(clinician, now):
    """A patient with a history, a safety flag, a hold and an entry in custody."""

    def add(days: int):
        then = now - (days + 1) * DAY
        patient = patient_add(by=clinician, name=f"{days} days", now=then, zone="UTC")
        revision = make_program(patient, clinician, then)
        phone = PairedPhone(patient, clinician, then, standing=True)
        history_write(patient, phone, revision, days=days, now=now, random=Random(1))
        for _ in range(2 * days):
            next(phone.numbers)
        episode = str(revision.program.episode_id)
        raised = phone.entry("skin_check", skin(raised=True), episode_id=episode)
        push_at(phone, now, raised, phone.entry("invented", {}))
        patient.refresh_from_db()
        return patient

    return add


@pytest.fixture
def questions(desk):
    """What the whole page asks, session and user included."""

    def questions(choice: str = "") -> int:
        desk.get("/desk/")  # the session is written once a minute
        with CaptureQueriesContext(connection) as seen:
            page = desk.get(f"/desk/{choice}")
        assert page.status_code == 200
        return len(seen)

    return questions


def test_three_times_the_patients_ask_no_more(add, questions):
    patient = add(days=12)
    copies_add(patient, 39)
    few = {choice: questions(choice) for choice in CHOICES}
    copies_add(patient, 80)

    assert {choice: questions(choice) for choice in CHOICES} == few
    assert max(few.values()) <= MOST


def test_a_longer_history_asks_no_more(add, questions):
    add(days=30)
    short = questions()
    add(days=365)

    assert questions() == short <= MOST
