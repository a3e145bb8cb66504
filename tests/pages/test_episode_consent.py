"""What is added to a patient who is already there."""

from django.urls import reverse

from homeprogram.models import Consent, Episode
from tests.support.reading import text_of


def url(name: str, patient) -> str:
    return reverse(name, kwargs={"patient_id": patient.id})


def test_the_other_limb_gets_an_episode_of_its_own(desk, patient, revision):
    answers = {"limb": "right", "pathway": "conservative"}

    response = desk.post(url("episode-add", patient), answers)

    assert response.status_code == 302
    assert set(Episode.objects.values_list("limb", flat=True)) == {"left", "right"}


def test_a_limb_with_an_open_episode_gets_no_second_one(desk, patient, revision):
    response = desk.post(url("episode-add", patient), {"limb": "left", "pathway": "conservative"})

    assert "There is an open episode for the left limb" in text_of(response)
    assert Episode.objects.count() == 1


def test_a_new_consent_replaces_the_one_in_force(desk, patient):
    for day in ("2030-03-03", "2030-03-04"):
        desk.post(url("consent-record", patient), {"given_on": day})

    assert Consent.objects.count() == 2
    assert str(Consent.objects.get(withdrawn_on=None).given_on) == "2030-03-04"


def test_a_minors_new_consent_needs_a_guardian_too(desk, clinician, now):
    from datetime import date

    from homeprogram.services.patients import patient_add

    child = patient_add(by=clinician, name="Kit Fern", born_on=date(2015, 1, 1), now=now)

    response = desk.post(url("consent-record", child), {"given_on": "2030-03-04"})

    assert "Under 18: name the guardian" in text_of(response)
    assert not Consent.objects.exists()


def test_the_helper_at_home_is_kept_with_the_consent(desk, patient):
    said = {"given_on": "2030-03-04", "helper_name": "Ada Tarn"}

    desk.post(url("consent-record", patient), said)

    assert Consent.objects.get().helper_name == "Ada Tarn"
    assert "Helper at home: Ada Tarn" in text_of(desk.get(url("patient-detail", patient)))
