"""The panel asks the same few questions of any clinic, of any age, whatever is chosen."""

from datetime import timedelta
from random import Random

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clinician.selectors.panel import panel
from clinician.selectors.panel_choice import Choice
from homeprogram.services.patients import patient_add
from tests.benchmarks.data import history_write
from tests.conftest import PairedPhone, make_program
from tests.entries import skin
from tests.support.pushes import push_at

WITH_SESSION_USER_AND_VIEW = 3  # what the page asks besides
CHOICES = [Choice(), Choice(whose="mine", week="1-2", sort="name"), Choice(reason="safety")]


@pytest.fixture
def add(clinician, now):
    """So many patients more, each with a flag, a hold and an entry in custody."""

    def add(count: int) -> None:
        for number in range(count):
            patient = patient_add(by=clinician, name=f"Patient {number}", now=now, zone="UTC")
            revision = make_program(patient, clinician, now)
            phone = PairedPhone(patient, clinician, now, standing=True)
            episode = str(revision.program.episode_id)
            raised = phone.entry("skin_check", skin(raised=True), episode_id=episode)
            push_at(phone, now, raised, phone.entry("invented", {}), have=[revision.id])

    return add


def questions(clinician, now, choice: Choice) -> int:
    with CaptureQueriesContext(connection) as seen:
        panel(me=clinician, now=now, choice=choice)
    return len(seen)


@pytest.mark.parametrize("choice", CHOICES, ids=["all", "chosen", "safety"])
def test_more_patients_ask_no_more(clinician, now, add, choice):
    add(2)
    few = questions(clinician, now, choice)
    add(8)

    assert questions(clinician, now, choice) == few
    assert few + WITH_SESSION_USER_AND_VIEW <= 12


def test_a_longer_history_asks_no_more(clinician, now):
    def costs(days: int) -> int:
        then = now - timedelta(days=days + 1)
        patient = patient_add(by=clinician, name=f"{days} days", now=then, zone="UTC")
        revision = make_program(patient, clinician, then)
        phone = PairedPhone(patient, clinician, then, standing=True)
        history_write(patient, phone, revision, days=days, now=now, random=Random(1))
        return questions(clinician, now, Choice())

    assert costs(30) == costs(365)
