from datetime import date

import pytest
from django.core.exceptions import ValidationError

from homeprogram.errors import RuleBroken
from homeprogram.models import Consent, Episode, Patient
from homeprogram.services.patients import consent_record, episode_add, patient_add

MARCH = date(2030, 3, 1)


def add(patient, now, **changes) -> Episode:
    values = {"limb": "left", "pathway": "conservative", "starts_on": MARCH}
    return episode_add(patient=patient, now=now, **values | changes)


def consent(patient, clinician, now, on: date, **changes) -> Consent:
    return consent_record(patient=patient, by=clinician, given_on=on, now=now, **changes)


def test_a_patient_belongs_to_the_clinicians_clinic_and_care(clinician, now):
    patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone="Europe/Lisbon")

    assert (patient.clinic, patient.clinician) == (clinician.clinic, clinician)
    assert patient.zone == "Europe/Lisbon"


def test_the_first_thing_a_patients_phone_hears_are_the_texts(patient, clinic):
    patient.refresh_from_db()

    assert list(patient.changes.values_list("version", "type", "object_id")) == [
        (1, "texts", clinic.id)
    ]
    assert patient.log_version == 1


def test_without_a_zone_the_clinics_counts(clinician, now):
    assert patient_add(by=clinician, name="Wilma Tarn", now=now).zone == "UTC"


@pytest.mark.parametrize("zone", ["Mars/Olympus", "../etc/passwd", "Europe"])
def test_a_zone_nobody_knows_is_refused(clinician, now, zone):
    with pytest.raises(RuleBroken) as refusal:
        patient_add(by=clinician, name="Wilma Tarn", now=now, zone=zone)

    assert refusal.value.code == "zone_unknown"
    assert list(refusal.value.fields) == ["zone"]
    assert not Patient.objects.exists()


def test_a_patient_without_a_name_is_refused(clinician, now):
    with pytest.raises(ValidationError) as refusal:
        patient_add(by=clinician, name="", now=now)

    assert list(refusal.value.message_dict) == ["name"]


def test_a_new_consent_ends_the_old_one_which_stays_on_record(patient, clinician, now):
    first = consent(patient, clinician, now, date(2030, 1, 1))

    second = consent(patient, clinician, now, date(2030, 2, 1), guardian_name="Ada Tarn")

    first.refresh_from_db()
    assert (first.withdrawn_on, second.withdrawn_on) == (date(2030, 2, 1), None)
    assert Consent.objects.count() == 2


def test_an_older_consent_cannot_replace_a_later_one(patient, clinician, now):
    consent(patient, clinician, now, date(2030, 2, 1))

    with pytest.raises(RuleBroken) as refusal:
        consent(patient, clinician, now, date(2030, 1, 1))

    assert (refusal.value.code, list(refusal.value.fields)) == ("consent_later", ["given_on"])
    assert Consent.objects.get().withdrawn_on is None


def test_a_second_consent_on_the_same_day_replaces_the_first(patient, clinician, now):
    consent(patient, clinician, now, MARCH)
    consent(patient, clinician, now, MARCH)

    assert Consent.objects.filter(withdrawn_on=None).count() == 1


def test_one_episode_is_open_per_limb(patient, now):
    add(patient, now)

    with pytest.raises(RuleBroken) as refusal:
        add(patient, now)

    assert (refusal.value.code, list(refusal.value.fields)) == ("episode_open", ["limb"])


def test_both_limbs_may_have_one(patient, now):
    add(patient, now)
    add(patient, now, limb="right")

    assert Episode.objects.count() == 2


def test_after_the_end_of_one_the_next_may_open(patient, now):
    first = add(patient, now)
    Episode.objects.filter(id=first.id).update(ended_on=MARCH)

    assert add(patient, now).ended_on is None


def test_after_surgery_its_date_is_needed(patient, now):
    with pytest.raises(RuleBroken) as refusal:
        add(patient, now, pathway="post_operative", procedure="ACL reconstruction")

    assert (refusal.value.code, list(refusal.value.fields)) == (
        "surgery_date_missing",
        ["surgery_on"],
    )


@pytest.mark.parametrize(
    ("changes", "field"), [({"limb": "both"}, "limb"), ({"pathway": "home"}, "pathway")]
)
def test_an_episode_says_known_words_only(patient, now, changes, field):
    with pytest.raises(ValidationError) as refusal:
        add(patient, now, **changes)

    assert list(refusal.value.message_dict) == [field]
