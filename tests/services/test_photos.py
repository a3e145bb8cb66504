"""Who must agree to photos, how long they are kept, and what is left of one that is gone."""

from datetime import date, timedelta

import pytest
from django.db import connection

from homeprogram.errors import RuleBroken
from homeprogram.models import PhotoAgreement, SkinPhoto
from homeprogram.services.photos import (
    photo_agreement_end,
    photo_agreement_record,
    photo_open,
    photo_remove,
    photo_remove_by_patient,
    photos_tick,
)
from homeprogram.services.settings import clinic_settings_set
from tests.support.photos import agreed_to_photos, jpeg, make_photo

DAY = timedelta(days=1)


@pytest.fixture
def photo(patient, clinician, phone, revision, now):
    agreed_to_photos(patient, clinician, now)
    return make_photo(phone, revision, now)


def born(patient, on: date):
    patient.born_on = on
    patient.save(update_fields=["born_on"])
    return patient


def test_a_grown_up_agrees_alone(patient, clinician, now):
    of_age = born(patient, now.date().replace(year=now.year - 18))

    agreement = photo_agreement_record(patient=of_age, by=clinician, now=now)

    assert (agreement.of_age, agreement.guardian_name) == (True, "")


def test_a_minor_needs_a_guardian_who_agrees_too(patient, clinician, now):
    minor = born(patient, now.date().replace(year=now.year - 18) + DAY)

    with pytest.raises(RuleBroken, match="Name the guardian"):
        photo_agreement_record(patient=minor, by=clinician, now=now, said_of_age=True)

    agreement = photo_agreement_record(
        patient=minor, by=clinician, now=now, guardian_name=" Per Tarn "
    )
    assert (agreement.of_age, agreement.guardian_name) == (False, "Per Tarn")


def test_without_a_date_of_birth_it_counts_what_the_clinician_says(patient, clinician, now):
    with pytest.raises(RuleBroken, match="Name the guardian"):
        photo_agreement_record(patient=patient, by=clinician, now=now)

    assert photo_agreement_record(patient=patient, by=clinician, now=now, said_of_age=True).of_age


def test_there_is_one_agreement_at_a_time(patient, clinician, now):
    agreed_to_photos(patient, clinician, now)

    with pytest.raises(RuleBroken, match="in force"):
        agreed_to_photos(patient, clinician, now)


def test_when_the_agreement_ends_its_photos_go(photo, clinician, now):
    agreement = PhotoAgreement.objects.get()

    assert photo_agreement_end(agreement=agreement, by=clinician, now=now + DAY) == 1

    gone = SkinPhoto.objects.get()
    assert (gone.sealed, gone.gone_why, gone.gone_at) == (None, "agreement", now + DAY)
    assert PhotoAgreement.objects.get().ended_by == clinician


def test_it_ends_once(photo, clinician, now):
    agreement = PhotoAgreement.objects.get()
    photo_agreement_end(agreement=agreement, by=clinician, now=now)

    with pytest.raises(RuleBroken, match="ended already"):
        photo_agreement_end(agreement=agreement, by=clinician, now=now)


def test_the_clinic_sees_the_picture(photo):
    assert photo_open(photo=photo).startswith(b"\xff\xd8")


def test_no_table_holds_a_picture_that_can_be_looked_at(photo):
    with connection.cursor() as cursor:
        cursor.execute("SELECT sealed FROM homeprogram_skinphoto")
        [(stored,)] = cursor.fetchall()

    # FF D8 FF begins every JPEG; DB announces its tables (ITU-T T.81, from memory).
    assert b"\xff\xd8\xff" not in bytes(stored)
    assert b"\xff\xdb\x00" in photo_open(photo=photo)


def test_a_picture_moved_into_another_row_does_not_open(photo, phone, revision, now):
    other = make_photo(phone, revision, now, data=jpeg(seed=2))
    other.sealed = photo.sealed

    with pytest.raises(RuleBroken, match="another secret key"):
        photo_open(photo=other)


def test_the_clinic_removes_one_and_says_why(photo, clinician, now):
    photo_remove(photo=photo, by=clinician, reason="A face is in it.", now=now)

    gone = SkinPhoto.objects.get()
    assert (gone.sealed, gone.gone_by, gone.gone_reason) == (None, clinician, "A face is in it.")
    with pytest.raises(RuleBroken, match="was removed"):
        photo_open(photo=gone)


def told_gone(phone) -> list[tuple[str, str, str]]:
    """What a phone hears of photos that are gone: state of the check, the check, the photo."""
    changes = phone.pull().json()["changes"]
    gone = [one for one in changes if "photo_gone" in one]
    return [(one["state"], one["id"], one["photo_gone"]) for one in gone]


@pytest.mark.parametrize("way", ["clinic", "agreement", "age"])
def test_the_phone_hears_of_a_photo_that_the_clinic_keeps_no_more(
    way, photo, phone, clinician, now
):
    if way == "clinic":
        photo_remove(photo=photo, by=clinician, reason="Blurred.", now=now)
    elif way == "agreement":
        photo_agreement_end(agreement=photo.patient.photo_agreements.get(), by=clinician, now=now)
    else:
        photos_tick(now=now + 91 * DAY)

    assert told_gone(phone) == [("stored", str(photo.entry.entry_id), str(photo.photo_id))]


def test_the_phone_hears_nothing_of_a_photo_that_its_patient_removed(photo, phone, now):
    photo_remove_by_patient(phone=phone.row, photo_id=photo.photo_id, now=now)

    assert told_gone(phone) == []


def test_without_a_reason_it_stays(photo, clinician, now):
    with pytest.raises(RuleBroken, match="Say why"):
        photo_remove(photo=photo, by=clinician, reason=" ", now=now)

    assert SkinPhoto.objects.get().gone_at is None


def test_who_removes_it_second_is_told_so(photo, clinician, now):
    photo_remove(photo=photo, by=clinician, reason="Not the knee.", now=now)

    with pytest.raises(RuleBroken, match="removed already"):
        photo_remove(photo=photo, by=clinician, reason="Blurred.", now=now)


def test_the_clock_removes_what_was_kept_long_enough(photo, now):
    assert photos_tick(now=now + 90 * DAY) == 0
    assert photos_tick(now=now + 90 * DAY + timedelta(seconds=1)) == 1

    gone = SkinPhoto.objects.get()
    assert (gone.sealed, gone.gone_why) == (None, "age")


def test_the_clinic_says_how_long(photo, clinic, clinician, now):
    settings = {"photos": True, "photo_days": 7}
    clinic_settings_set(clinic=clinic, settings=settings, by=clinician, now=now)

    assert photos_tick(now=now + 8 * DAY) == 1


def test_switched_off_the_clinic_still_keeps_what_it_has_until_then(photo, clinic, clinician, now):
    clinic_settings_set(clinic=clinic, settings={}, by=clinician, now=now)

    assert photo_open(photo=SkinPhoto.objects.get())
    assert photos_tick(now=now + 91 * DAY) == 1
