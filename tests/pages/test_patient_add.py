"""Add a patient: who, consent and the first episode in one go."""

import pytest
from django.urls import reverse

from homeprogram.models import Consent, Episode, Patient
from tests.support.reading import text_of

URL = "/desk/patients/add/"
FILLED = {
    "name": "Otis Fern",
    "born_on": "1970-05-01",
    "telephone": "01632 960 500",
    "zone": "Europe/Lisbon",
    "given_on": "2030-03-04",
    "guardian_name": "",
    "limb": "right",
    "pathway": "post_operative",
    "procedure": "ACL reconstruction",
    "surgery_on": "2030-02-20",
    "surgeon_limits": "Flexion to 90 degrees until week 6.",
}


def test_it_adds_patient_consent_and_episode(desk, clinician):
    response = desk.post(URL, FILLED)

    patient = Patient.objects.get(name="Otis Fern")
    assert response.url == reverse("patient-detail", kwargs={"patient_id": patient.id})
    assert (patient.clinic, patient.clinician) == (clinician.clinic, clinician)
    assert patient.zone == "Europe/Lisbon"
    assert Consent.objects.get(patient=patient).recorded_by == clinician
    episode = Episode.objects.get(patient=patient)
    assert (episode.limb, episode.procedure) == ("right", "ACL reconstruction")
    assert episode.surgeon_limits == "Flexion to 90 degrees until week 6."


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("name", "", "Fill this in."),
        ("born_on", "", "Fill this in."),
        ("born_on", "2031-01-01", "Check the date of birth."),
        ("born_on", "1890-01-01", "Check the date of birth."),
        ("zone", "Lisbon time", "Use a name like Europe/Lisbon."),
        ("given_on", "2030-03-09", "Consent cannot be given on a day to come."),
        ("limb", "", "Choose one."),
        ("surgery_on", "", "After surgery the date of surgery is needed."),
        ("surgery_on", "0203-02-20", "Check the year of surgery."),
    ],
)
def test_a_bad_value_is_said_beside_its_field_and_on_top(desk, field, value, sentence):
    response = desk.post(URL, FILLED | {field: value})

    content = response.content.decode()
    assert response.status_code == 200
    assert text_of(response).count(sentence) == 2
    assert f'href="#id_{field}' in content
    assert f'id="id_{field}_error"' in content
    assert 'aria-invalid="true"' in content
    assert "<title>Problem: Add a patient" in content
    assert not Patient.objects.exists()


def test_what_was_typed_stays_after_a_refusal(desk):
    content = desk.post(URL, FILLED | {"name": ""}).content.decode()

    assert "01632 960 500" in content
    assert "Flexion to 90 degrees until week 6." in content


def test_a_minor_needs_a_guardian(desk):
    child = FILLED | {"born_on": "2012-03-05"}  # turns 18 tomorrow

    refused = desk.post(URL, child)
    added = desk.post(URL, child | {"guardian_name": "Vera Fern"})

    assert "Under 18: name the guardian" in text_of(refused)
    assert added.status_code == 302
    assert Consent.objects.get().guardian_name == "Vera Fern"


def test_on_the_eighteenth_birthday_nobody_else_consents(desk):
    assert desk.post(URL, FILLED | {"born_on": "2012-03-04"}).status_code == 302


def test_a_refused_episode_leaves_no_patient_behind(desk):
    desk.post(URL, FILLED | {"surgery_on": ""})

    assert not Patient.objects.exists()
    assert not Consent.objects.exists()
