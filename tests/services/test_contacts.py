"""Contacts are written once; a correction is another row; a call that is owed stays open."""

from datetime import UTC, timedelta

import pytest
from django.db import DatabaseError, connection, transaction

from clinician.models import Contact
from clinician.selectors.contacts import contact_log, contacts_standing
from clinician.selectors.open_matters import open_matters
from homeprogram.errors import RuleBroken
from homeprogram.models import Flag
from homeprogram.services.patients import patient_add
from tests.support.desk import make_contact
from tests.support.pushes import push_at

HOUR = timedelta(hours=1)


def owed(patient, now) -> list[str]:
    """What the patient page says; the panel asks the database and says the same."""
    said = contact_log(Contact.objects.filter(patient=patient), now, UTC).owed
    calls = open_matters(patients=[patient], now=now).calls
    assert calls[patient.id] == said
    return said


def test_a_contact_is_kept_as_it_was_said(patient, clinician, now):
    make_contact(patient, clinician, now, minutes=7, note="  Skin is calm. ")

    kept = contacts_standing(patients=[patient]).get()
    assert (kept.by, kept.clinic, kept.minutes, kept.note) == (
        clinician,
        patient.clinic,
        7,
        "Skin is calm.",
    )


@pytest.mark.parametrize(
    "act", ["UPDATE clinician_contact SET minutes = 50", "DELETE FROM clinician_contact"]
)
def test_a_contact_is_neither_changed_nor_removed(patient, clinician, now, act):
    contact = make_contact(patient, clinician, now)

    with pytest.raises(RuleBroken):
        contact.save()
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        connection.cursor().execute(act)

    assert contacts_standing(patients=[patient]).get().minutes == 5


def test_a_correction_takes_the_place_of_its_contact_and_keeps_it(patient, clinician, lead, now):
    first = make_contact(patient, clinician, now, minutes=50)

    make_contact(patient, lead, now + HOUR, at=now, minutes=5, corrects=first)

    assert [one.minutes for one in contacts_standing(patients=[patient])] == [5]
    log = contact_log(Contact.objects.filter(patient=patient), now + HOUR, UTC)
    assert "50 minutes" in log.newest[0].earlier[0]
    assert clinician.name in log.newest[0].earlier[0]


def test_a_contact_is_corrected_once_and_then_its_correction_is(patient, clinician, now):
    first = make_contact(patient, clinician, now)
    second = make_contact(patient, clinician, now, corrects=first)

    with pytest.raises(RuleBroken) as refusal:
        make_contact(patient, clinician, now, corrects=first)
    make_contact(patient, clinician, now, corrects=second)

    assert refusal.value.code == "contact_corrected"
    assert contacts_standing(patients=[patient]).count() == 1


def test_a_contact_to_come_is_refused(patient, clinician, now):
    with pytest.raises(RuleBroken) as refusal:
        make_contact(patient, clinician, now, at=now + HOUR)

    assert refusal.value.code == "contact_to_come"


def test_a_call_that_is_owed_stays_open_over_a_try_and_ends_with_a_word(patient, clinician, now):
    make_contact(patient, clinician, now, direction="in", outcome="call_back")
    make_contact(patient, clinician, now + HOUR, outcome="not_reached")
    still_owed = owed(patient, now + HOUR)

    make_contact(patient, clinician, now + 2 * HOUR)

    assert still_owed == ["1 hour ago, the weekly review"]
    assert owed(patient, now + 2 * HOUR) == []


def test_a_word_before_the_asking_is_no_answer(patient, clinician, now):
    make_contact(patient, clinician, now)
    make_contact(patient, clinician, now + HOUR, direction="in", outcome="call_back")

    assert len(owed(patient, now + HOUR)) == 1


def test_a_wish_that_was_corrected_away_is_owed_no_more(patient, clinician, now):
    asked = make_contact(patient, clinician, now, direction="in", outcome="call_back")
    make_contact(patient, clinician, now + HOUR, at=now, outcome="not_reached", corrects=asked)

    assert owed(patient, now + HOUR) == []


def test_a_word_with_another_patient_is_no_answer(patient, clinician, now):
    make_contact(patient, clinician, now, direction="in", outcome="call_back")
    other = patient_add(by=clinician, name="Abel Calm", now=now)
    make_contact(other, clinician, now + HOUR)

    assert len(owed(patient, now + HOUR)) == 1


@pytest.fixture
def asked(phone, now) -> Flag:
    note = {"text": "Please call me.", "wants_contact": True}
    push_at(phone, now, phone.entry("note_to_clinic", note))
    return Flag.objects.get(reason="contact_wanted")


def test_an_answer_closes_the_flag_with_its_reason(patient, clinician, asked, now):
    make_contact(patient, clinician, now + HOUR, closes=asked, reason="Called; pads explained.")

    asked.refresh_from_db()
    assert (asked.state, asked.closed_by) == ("closed", clinician)
    assert asked.close_reason == "Called; pads explained."


def test_without_a_reason_neither_contact_nor_closing_is_kept(patient, clinician, asked, now):
    with pytest.raises(RuleBroken):
        make_contact(patient, clinician, now + HOUR, closes=asked, reason=" ")

    asked.refresh_from_db()
    assert asked.state == "open"
    assert not contacts_standing(patients=[patient]).exists()
