"""A phone that is paired anew goes on with what it had not sent, under its old name."""

import pytest

from homeprogram.models import Entry, HeldEntry
from tests.conftest import PairedPhone
from tests.entries import BOUT, refrozen


@pytest.fixture
def repaired(phone, patient, clinician, now) -> PairedPhone:
    """The same phone after it lost its credential: a new pairing of the same patient."""
    return PairedPhone(patient, clinician, now, label="same phone")


def old_entry(phone, revision):
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    return phone.entry("bout", BOUT, **program)


def test_an_unsent_entry_of_the_old_pairing_is_stored_under_its_phone(phone, repaired, revision):
    entry = old_entry(phone, revision)

    reply = repaired.push(entry)

    assert reply.json()["receipts"][0]["outcome"] == "stored"
    assert Entry.objects.get().phone_id == phone.id
    assert Entry.objects.get().number == 1


def test_it_fills_no_number_of_the_new_pairing(phone, repaired, revision):
    reply = repaired.push(old_entry(phone, revision))

    assert reply.json()["high"] == 0
    assert reply.json()["gaps"] == []


def test_a_number_the_old_pairing_had_sent_already_is_held(
    phone, patient, clinician, revision, now
):
    phone.push(old_entry(phone, revision))
    repaired = PairedPhone(patient, clinician, now, label="same phone")
    body = old_entry(phone, revision)["body"].replace('"number": 2', '"number": 1')

    reply = repaired.push(refrozen(body))

    (receipt,) = reply.json()["receipts"]
    assert (receipt["outcome"], receipt["reason"]["code"]) == ("held", "number_taken")
    assert HeldEntry.objects.count() == 1
    assert Entry.objects.count() == 1


def test_another_patients_phone_is_still_a_stranger(phone, outsider, revision, now):
    from homeprogram.services.patients import patient_add

    stranger = patient_add(by=outsider, name="Osk Fenn", now=now)
    theirs = PairedPhone(stranger, outsider, now)

    reply = theirs.push(old_entry(phone, revision))

    (receipt,) = reply.json()["receipts"]
    assert receipt["outcome"] == "held"
    assert receipt["reason"]["code"] == "other_phone"
