"""The file a phone saved, read in at the desk."""

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from homeprogram.models import Entry
from tests.entries import BOUT


@pytest.fixture
def address(patient) -> str:
    return reverse("phone-file", kwargs={"patient_id": patient.id})


@pytest.fixture
def text(phone, revision) -> bytes:
    names = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    entry = phone.entry("bout", BOUT, **names)
    data = {"format": "boutwise-entries-1", "entries": [entry], "unnumbered": []}
    return json.dumps(data).encode()


def sent(browser, address: str, text: bytes):
    file = SimpleUploadedFile("boutwise-entries.json", text, "application/json")
    return browser.post(address, {"file": file}, follow=True)


def test_the_patients_page_leads_to_it(desk, patient_url, address):
    assert address in desk.get(patient_url).content.decode()


def test_the_entries_are_read_in_and_counted_aloud(desk, address, text):
    page = sent(desk, address, text).content.decode()

    assert "1 entry read in, 0 here before, 0 held" in page
    assert Entry.objects.count() == 1


def test_a_file_that_no_phone_saved_is_refused_beside_the_field(desk, address):
    answer = sent(desk, address, b"%PDF-1.7")

    assert answer.status_code == 200
    assert "no file of entries from a phone" in answer.content.decode()


@pytest.mark.parametrize("size", [4_194_305, 5_000_000])
def test_a_file_larger_than_any_phones_is_not_read(desk, address, phone, size):
    answer = sent(desk, address, b" " * size)

    assert "4 MB" in answer.content.decode()
    assert Entry.objects.count() == 0


def test_without_a_file_the_page_says_what_to_do(desk, address):
    assert "Choose the file." in desk.post(address, {}).content.decode()


def test_another_clinic_reads_nothing_in(outside_desk, address, text):
    assert sent(outside_desk, address, text).status_code == 404
    assert Entry.objects.count() == 0
