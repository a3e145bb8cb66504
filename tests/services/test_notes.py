"""A note is read by somebody, and its patient hears when."""

from datetime import timedelta

from django.urls import reverse

from homeprogram.models import Change, Entry, NoteReading
from homeprogram.services.notes import note_read
from tests.entries import entry_id
from tests.support.pushes import push_at

NOTE = {"text": "The stairs go better.", "wants_contact": False}


def told(phone, now) -> Entry:
    note = phone.entry("note_to_clinic", NOTE)
    push_at(phone, now, note)
    return Entry.objects.get(entry_id=entry_id(note))


def states(phone) -> list[dict]:
    return [one for one in phone.pull().json()["changes"] if one["type"] == "entry_state"]


def test_the_phone_hears_when_it_was_read(phone, revision, clinician, now):
    note = told(phone, now)
    assert states(phone) == []

    note_read(note=note, by=clinician, now=now + timedelta(hours=5))

    (state,) = states(phone)
    assert state["id"] == str(note.entry_id)
    assert (state["state"], state["reason"]) == ("stored", None)
    assert state["read_at"] == "2030-03-04T14:00:00+00:00"


def test_the_first_who_reads_it_counts(phone, revision, clinician, lead, now):
    note = told(phone, now)
    note_read(note=note, by=clinician, now=now)
    before = Change.objects.count()

    note_read(note=note, by=lead, now=now + timedelta(days=1))

    assert NoteReading.objects.get().read_by == clinician
    assert Change.objects.count() == before


def test_the_desk_marks_a_note_and_shows_by_whom(client, phone, patient, clinician, now):
    note = told(phone, now)
    client.force_login(clinician.user)
    page = reverse("patient-detail", kwargs={"patient_id": patient.id})
    mark = reverse("note-read", kwargs={"patient_id": patient.id, "entry_id": note.entry_id})
    assert mark in client.get(page).content.decode()

    client.post(mark)

    shown = client.get(page).content.decode()
    assert f"Read by {clinician.name}" in shown
    assert mark not in shown


def test_only_a_note_can_be_read(client, phone, patient, clinician, now):
    check = phone.entry("stop_report", {"symptoms": ["numb"]})
    push_at(phone, now, check)
    client.force_login(clinician.user)
    kwargs = {"patient_id": patient.id, "entry_id": entry_id(check)}

    assert client.post(reverse("note-read", kwargs=kwargs)).status_code == 404
    assert not NoteReading.objects.exists()
