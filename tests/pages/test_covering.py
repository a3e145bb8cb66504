"""Who covers for an absent colleague finds that colleague's patients among their own."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.services.duty import absence_record
from homeprogram.models import Patient
from homeprogram.services.patients import patient_add
from tests.conftest import make_program
from tests.support.reading import text_of

DAY = timedelta(days=1)


@pytest.fixture
def theirs(lead, revision, now) -> Patient:
    """In the care of the lead, who is about to be away."""
    patient = patient_add(by=lead, name="Abel Calm", now=now, zone="UTC")
    make_program(patient, lead, now)
    return patient


@pytest.fixture
def away(lead, clinician, theirs, now) -> None:
    absence_record(
        clinic=lead.clinic, clinician=lead, cover=clinician, by=lead, now=now,
        first_day=now.date(), last_day=now.date() + DAY,
    )  # fmt: skip


def mine(desk) -> str:
    return text_of(desk.get(reverse("desk-panel") + "?whose=mine"))


def reviewed(desk, patient) -> str:
    return text_of(desk.get(reverse("review-patient", kwargs={"patient_id": patient.id})))


def test_the_panel_shows_their_patients_among_mine_and_says_for_whom(desk, lead, away):
    text = mine(desk)

    assert "Abel Calm" in text
    assert f"covering for {lead.name}" in text


def test_the_review_run_goes_through_their_patients_too(desk, lead, theirs, away):
    text = reviewed(desk, theirs)

    assert f"0 of 2 reviewed since Monday, your patients and those of {lead.name}" in text
    assert f"covering for {lead.name}" in text


def test_after_the_absence_they_are_no_longer_mine(desk, away, clock, now):
    clock(now + 2 * DAY)

    assert "Abel Calm" not in mine(desk)


def test_nobody_else_gets_them(lead_desk, away):
    assert "covering for" not in mine(lead_desk)
