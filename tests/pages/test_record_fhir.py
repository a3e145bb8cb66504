"""One patient's record as a file for other systems."""

import json
from datetime import timedelta

import pytest
from django.urls import reverse

from tests.support.fhir import kinds, record_of, resources
from tests.support.reading import text_of


@pytest.fixture
def url(patient) -> str:
    return reverse("record-fhir", kwargs={"patient_id": patient.id})


def test_the_patient_page_leads_to_it_and_says_what_it_is(desk, patient_url, url, revision):
    page = desk.get(patient_url)

    assert f'href="{url}"' in page.content.decode()
    words = "Record as FHIR file For other systems (HL7 FHIR R4). It holds health data."
    assert words in text_of(page)


def test_it_is_a_bundle_of_release_4_in_its_own_media_type(desk, url, revision):
    answer = desk.get(url)
    bundle = json.loads(answer.content)

    assert answer["Content-Type"] == "application/fhir+json; fhirVersion=4.0"
    assert (bundle["resourceType"], bundle["type"]) == ("Bundle", "collection")
    assert bundle["timestamp"] == "2030-03-04T09:00:00Z"


def test_its_name_names_nobody_and_nothing_keeps_it(desk, url, revision):
    answer = desk.get(url)

    assert answer["Content-Disposition"] == 'attachment; filename="record-fhir.json"'
    assert "no-store" in answer["Cache-Control"]


def test_another_clinics_clinician_gets_404(outside_desk, url, revision):
    assert outside_desk.get(url).status_code == 404


def test_nobody_else_of_the_clinic_and_no_other_patient_is_in_it(desk, patient, lead, story):
    names = [one["name"][0]["text"] for one in resources(record_of(desk, patient), "Practitioner")]

    assert names == ["Ro Desk"]
    assert kinds(record_of(desk, patient))["Patient"] == 1


def test_two_downloads_of_one_record_say_the_same_but_for_their_time(desk, patient, story):
    story.push(story.bout("2030-03-05"), after=timedelta(days=1))
    first = record_of(desk, patient)
    story.wait(timedelta(days=1, hours=1))
    second = record_of(desk, patient)

    assert second["timestamp"] > first["timestamp"]
    assert second["entry"] == first["entry"]


def test_a_patient_without_a_program_has_a_file_too(desk, patient):
    assert kinds(record_of(desk, patient)) == {"Patient": 1, "Organization": 1}
