"""Photos of the skin at the desk: agreed to, seen beside their check, removed."""

import pytest
from django.urls import reverse

from homeprogram.models import PhotoAgreement, SkinPhoto
from tests.support.notes import make_review
from tests.support.photos import agreed_to_photos, check_sent, make_photo, photos_switched_on
from tests.support.reading import text_of


def address(name: str, **of: object) -> str:
    return reverse(name, kwargs=of)


@pytest.fixture
def agreement(patient, clinician, now):
    return agreed_to_photos(patient, clinician, now)


@pytest.fixture
def photo(agreement, phone, revision, now):
    check = check_sent(phone, revision, now, for_date=now.date().isoformat())
    return make_photo(phone, revision, now, check=check)


def page_of(desk, patient, part: str = "patient-detail") -> str:
    return text_of(desk.get(address(part, patient_id=patient.id)))


def test_where_the_clinic_takes_none_nothing_is_said_of_them(desk, patient, revision):
    assert "hotos of the skin" not in page_of(desk, patient)


def test_switched_on_the_patient_page_says_who_has_not_agreed(
    desk, patient, revision, clinician, now
):
    photos_switched_on(patient.clinic, clinician, now)

    assert "Photos of the skin: not agreed. Record an agreement" in page_of(desk, patient)


def test_an_agreement_is_recorded_with_what_was_said(desk, patient, clinic, clinician, now):
    photos_switched_on(clinic, clinician, now)

    url = address("photo-agreement", patient_id=patient.id)
    desk.post(url, {"agrees": "on", "said_of_age": "on"})

    assert PhotoAgreement.objects.get().patient == patient
    assert "agreed since Mon 4 Mar 2030. End the agreement" in page_of(desk, patient)


def test_without_the_patients_yes_there_is_none(desk, patient):
    answer = desk.post(address("photo-agreement", patient_id=patient.id), {"said_of_age": "on"})

    assert "Without their yes there are no photos." in text_of(answer)
    assert not PhotoAgreement.objects.exists()


def test_a_minors_guardian_is_asked_for_and_named(desk, patient, now):
    patient.born_on = now.date().replace(year=now.year - 15)
    patient.save(update_fields=["born_on"])
    url = address("photo-agreement", patient_id=patient.id)

    assert "Guardian who agrees too Needed for a patient under 18." in text_of(desk.get(url))
    desk.post(url, {"agrees": "on", "guardian_name": ""})
    assert not PhotoAgreement.objects.exists()

    desk.post(url, {"agrees": "on", "guardian_name": "Per Tarn"})
    assert "agreed with guardian Per Tarn since" in page_of(desk, patient)


def test_a_grown_up_is_asked_for_no_guardian(desk, patient, now):
    patient.born_on = now.date().replace(year=now.year - 40)
    patient.save(update_fields=["born_on"])
    url = address("photo-agreement", patient_id=patient.id)

    assert "Guardian" not in text_of(desk.get(url))


def test_ending_it_removes_the_photos(desk, patient, agreement, photo):
    desk.post(address("photo-agreement-end", agreement_id=agreement.id))

    assert SkinPhoto.objects.get().gone_why == "agreement"
    assert "not agreed" in page_of(desk, patient)


@pytest.mark.parametrize("part", ["patient-detail", "patient-entries", "review-patient"])
def test_a_photo_stands_beside_its_check(desk, patient, photo, part):
    link = f'href="{address("photo-detail", photo_id=photo.id)}"'

    assert link in desk.get(address(part, patient_id=patient.id)).content.decode()


def test_the_weekly_review_shows_them_below_the_skin_of_fourteen_days(desk, patient, photo):
    page = text_of(desk.get(address("review-patient", patient_id=patient.id)))

    assert "Photos: Mon 4 Mar" in page


def test_its_page_says_what_the_patient_said(desk, photo):
    page = text_of(desk.get(address("photo-detail", photo_id=photo.id)))

    assert "raised" in page
    assert "a photo does not replace looking at the skin" in page


def test_the_picture_is_a_jpeg_that_no_browser_keeps(desk, photo):
    answer = desk.get(address("photo-file", photo_id=photo.id))

    assert answer.content.startswith(b"\xff\xd8\xff")
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["Cache-Control"] == "no-store"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cross-Origin-Resource-Policy"] == "same-origin"


def test_removed_with_a_reason_it_is_gone_and_its_page_says_why(desk, photo):
    url = address("photo-detail", photo_id=photo.id)
    desk.post(url, {"reason": "A face is in it."})

    page = text_of(desk.get(url))
    assert "Removed by the clinic (Ro Desk: A face is in it.)" in page
    assert "file/" not in desk.get(url).content.decode()
    assert desk.get(address("photo-file", photo_id=photo.id)).status_code == 404


def test_a_picture_whose_key_is_lost_says_so_and_can_be_removed(desk, photo):
    SkinPhoto.objects.update(sealed=b"\x01 sealed under a key of before")
    url = address("photo-detail", photo_id=photo.id)

    assert "Name that key as an old one." in text_of(desk.get(url))
    assert desk.get(address("photo-file", photo_id=photo.id)).status_code == 404
    desk.post(url, {"reason": "Nobody can see it."})
    assert SkinPhoto.objects.get().gone_why == "clinic"


@pytest.fixture
def reviewed(patient, agreement, phone, revision, now) -> str:
    """A skin check without a photo, up to which the log was reviewed."""
    check = check_sent(phone, revision, now)
    make_review(patient, patient.clinician, now)
    return check


def test_a_photo_that_came_after_its_check_was_reviewed_is_told(
    desk, reviewed, phone, revision, now
):
    url = address("review-patient", patient_id=phone.row.patient_id)
    assert "it came later" not in text_of(desk.get(url))

    make_photo(phone, revision, now, check=reviewed)

    assert "of Tue 5 Mar 2030, it came later" in text_of(desk.get(url))


def test_a_lead_switches_photos_on(client, lead_desk, clinic):
    from tests.pages.test_clinic_settings import settings

    lead_desk.post(address("clinic-settings"), settings(clinic, photos="on", photo_days=30))

    clinic.refresh_from_db()
    assert clinic.settings == {"photos": True, "photo_days": 30}
    assert "photos of the skin: as usual → on" in text_of(lead_desk.get(address("clinic-history")))
