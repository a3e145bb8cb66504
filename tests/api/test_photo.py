"""A photo on its way from a phone: taken once, told of truly, refused with a reason."""

import hashlib
import json
from uuid import uuid4

import pytest
from django.utils import timezone
from rest_framework.test import APIClient

from homeprogram.models import SkinPhoto
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.photos import photo_agreement_end
from tests.conftest import PairedPhone
from tests.support.photos import agreed_to_photos, check_sent, jpeg, photos_switched_on

OURS = {"X-Boutwise": "1"}
RECEIPT = "application/vnd.boutwise.receipt+json"
BYTES_MOST, SIDE_MOST = 600_000, 1_600


@pytest.fixture
def now():
    """The hour of a request is the server's own."""
    return timezone.now()


@pytest.fixture
def agreement(patient, clinician, now):
    return agreed_to_photos(patient, clinician, now)


@pytest.fixture
def check(phone, revision, now):
    return check_sent(phone, revision, now)


def address(photo: object = None, **asked: object) -> str:
    question = "&".join(f"{name}={value}" for name, value in asked.items())
    return f"/api/v1/photos/{photo or uuid4()}/?{question}"


def put(phone, check, *, photo: object = None, data: bytes | None = None, **headers):
    url = address(photo, entry=check, taken_ms=1_898_929_300_000)
    sent = jpeg() if data is None else data
    return phone.http.put(url, sent, content_type="image/jpeg", headers=OURS | headers)


def test_a_photo_is_kept_and_the_receipt_names_what_was_sent(phone, agreement, check):
    photo, sent = uuid4(), jpeg()

    answer = put(phone, check, photo=photo, data=sent)

    assert answer.status_code == 200
    assert answer["Content-Type"] == RECEIPT
    told = {"id": str(photo), "sha256": hashlib.sha256(sent).hexdigest(), "state": "kept"}
    assert answer.json() == told
    assert str(SkinPhoto.objects.get().entry.entry_id) == check


def test_sent_again_it_is_there_once(phone, agreement, check):
    photo = uuid4()

    answers = [put(phone, check, photo=photo).json()["state"] for _ in range(3)]

    assert answers == ["kept"] * 3
    assert SkinPhoto.objects.count() == 1


def test_another_picture_under_the_same_name_is_refused(phone, agreement, check):
    photo = uuid4()
    put(phone, check, photo=photo)

    answer = put(phone, check, photo=photo, data=jpeg(seed=2))

    assert (answer.status_code, answer.json()["code"]) == (409, "photo_id_taken")


def test_before_its_check_has_come_it_has_to_wait(phone, agreement):
    answer = put(phone, uuid4())

    assert (answer.status_code, answer.json()["code"]) == (409, "photo_entry_unknown")


def test_a_bout_takes_no_photo(phone, agreement, revision, now):
    from tests.entries import BOUT, entry_id
    from tests.support.pushes import push_at

    of = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    bout = phone.entry("bout", BOUT, **of)
    push_at(phone, now, bout)

    assert put(phone, entry_id(bout)).json()["code"] == "photo_entry_unknown"


def test_nothing_is_taken_before_the_clinic_switches_photos_on(phone, check):
    answer = put(phone, check)

    assert (answer.status_code, answer.json()["code"]) == (403, "photos_off")


def test_nothing_is_taken_from_a_patient_who_did_not_agree(phone, check, clinic, clinician, now):
    photos_switched_on(clinic, clinician, now)

    assert put(phone, check).json()["code"] == "photos_off"


def test_nothing_more_is_taken_once_the_agreement_ended(phone, agreement, check, clinician, now):
    photo_agreement_end(agreement=agreement, by=clinician, now=now)

    assert put(phone, check).json()["code"] == "photos_off"


@pytest.mark.parametrize(
    "data",
    [b"", b"GIF89a", jpeg()[:500], b"\xff\xd8\xff" + bytes(900)],
    ids=["nothing", "another kind", "cut off", "zeros behind the first bytes"],
)
def test_what_is_no_picture_is_refused(phone, agreement, check, data):
    answer = put(phone, check, data=data)

    assert (answer.status_code, answer.json()["code"]) == (400, "photo_unreadable")
    assert not SkinPhoto.objects.exists()


def test_one_byte_too_many_is_refused(phone, agreement, check):
    sound = jpeg()
    largest = sound + bytes(BYTES_MOST - len(sound))

    assert put(phone, check, data=largest).status_code == 200
    answer = put(phone, check, data=largest + b"\0")
    assert (answer.status_code, answer.json()["code"]) == (413, "photo_too_large")


def test_one_pixel_too_many_is_refused(phone, agreement, check):
    assert put(phone, check, data=jpeg(SIDE_MOST, 2)).status_code == 200
    answer = put(phone, check, data=jpeg(SIDE_MOST + 1, 2))
    assert (answer.status_code, answer.json()["code"]) == (413, "photo_too_large")


def test_one_check_has_room_for_three(phone, agreement, check):
    assert [put(phone, check, data=jpeg(seed=n)).status_code for n in range(3)] == [200] * 3

    answer = put(phone, check, data=jpeg(seed=3))
    assert (answer.status_code, answer.json()["code"]) == (409, "photo_too_many")


def test_a_day_has_room_for_twelve_whatever_became_of_them(phone, agreement, revision, now):
    for turn in range(12):
        photo = uuid4()
        sent = put(phone, check_sent(phone, revision, now), photo=photo, data=jpeg(seed=turn))
        assert sent.status_code == 200
        phone.http.delete(address(photo), headers=OURS)

    answer = put(phone, check_sent(phone, revision, now))
    assert answer.json()["code"] == "photo_too_many"


@pytest.mark.parametrize(
    "asked",
    [{}, {"entry": "no-id", "taken_ms": 1}, {"entry": uuid4(), "taken_ms": 9**20}],
    ids=["nothing said", "no id", "a moment far off"],
)
def test_what_is_said_beside_it_must_make_sense(phone, agreement, asked):
    answer = phone.http.put(address(**asked), jpeg(), content_type="image/jpeg", headers=OURS)

    assert (answer.status_code, answer.json()["code"]) == (400, "invalid")


def test_another_kind_of_body_is_refused(phone, agreement, check):
    url = address(entry=check, taken_ms=1)
    answer = phone.http.put(url, json.dumps({}), content_type="application/json", headers=OURS)

    assert answer.status_code == 415


def test_a_form_of_another_site_sends_none(phone, agreement, check):
    assert put(phone, check, **{"Sec-Fetch-Site": "cross-site"}).status_code == 403


def test_the_patient_removes_it_as_often_as_they_like(phone, agreement, check):
    photo = uuid4()
    put(phone, check, photo=photo)

    answers = [phone.http.delete(address(photo), headers=OURS) for _ in range(2)]

    assert [one.json() for one in answers] == [{"id": str(photo), "state": "deleted"}] * 2
    kept = SkinPhoto.objects.get()
    assert (kept.sealed, kept.gone_why) == (None, "patient")


def test_sent_again_after_it_was_removed_it_stays_removed(phone, agreement, check):
    photo = uuid4()
    put(phone, check, photo=photo)
    phone.http.delete(address(photo), headers=OURS)

    assert put(phone, check, photo=photo).json()["state"] == "deleted"
    assert SkinPhoto.objects.get().sealed is None


def test_one_that_never_came_counts_as_removed(phone):
    photo = uuid4()

    answer = phone.http.delete(address(photo), headers=OURS)

    assert answer.json() == {"id": str(photo), "state": "deleted"}


def test_another_patients_phone_can_neither_remove_nor_meet_it(
    phone, agreement, check, outsider, now
):
    from homeprogram.services.patients import patient_add

    photo = uuid4()
    put(phone, check, photo=photo)
    other = PairedPhone(patient_add(by=outsider, name="Ida Ebb", now=now), outsider, now)

    other.http.delete(address(photo), headers=OURS)

    assert SkinPhoto.objects.get().gone_at is None
    assert put(other, check, photo=photo).json()["code"] == "photos_off"


def test_a_phone_that_was_replaced_sends_none(phone, agreement, check, now):
    phone_revoke(phone=phone.row, state="replaced", now=now)

    assert put(phone, check).status_code == 401


def test_an_unpaired_phone_sends_none(db):
    answer = APIClient().put(address(), jpeg(), content_type="image/jpeg", headers=OURS)

    assert answer.status_code == 401


def told(phone) -> list[bool]:
    """Whether photos are wanted, in the order in which the phone heard of it."""
    changes = phone.pull().json()["changes"]
    return ["photos" in one["texts"] for one in changes if one["type"] == "texts"]


def test_the_phone_hears_that_photos_are_wanted_and_that_they_are_not(
    phone, patient, clinician, now
):
    assert told(phone) == [False]

    agreement = agreed_to_photos(patient, clinician, now)
    assert told(phone) == [True]

    photo_agreement_end(agreement=agreement, by=clinician, now=now)
    assert told(phone) == [False]


def test_the_phone_hears_that_the_clinic_takes_photos_no_longer(
    phone, agreement, clinic, clinician, now
):
    from homeprogram.services.settings import clinic_settings_set

    clinic.refresh_from_db()
    clinic_settings_set(clinic=clinic, settings={}, by=clinician, now=now)

    assert told(phone) == [False]
