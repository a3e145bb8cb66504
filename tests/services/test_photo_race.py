"""A phone that gives up too early sends a photo twice at once: on real connections."""

from uuid import uuid4

import pytest
from django.db import connection
from django.utils import timezone

from homeprogram.errors import PhotoRefused
from homeprogram.models import SkinPhoto
from homeprogram.services.patients import patient_add
from homeprogram.services.photos import photo_take
from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
from tests.support.concurrency import at_once, committed
from tests.support.photos import agreed_to_photos, check_sent, jpeg

TIMES = 6

pytestmark = pytest.mark.skipif(
    connection.vendor != "postgresql", reason="SQLite lets one writer in at a time"
)


@pytest.fixture
def taking(django_db_setup, django_db_blocker):
    """Takes a photo of one check, by its number, on the connection of whoever calls."""
    with committed(django_db_blocker):
        now = timezone.now()
        by = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        patient = patient_add(by=by, name="Wilma Tarn", now=now)
        revision = make_program(patient, by, now)
        phone = PairedPhone(patient, by, now)
        agreed_to_photos(patient, by, now)
        check = check_sent(phone, revision, now)
        ids = [uuid4() for _ in range(TIMES)]

        def take(number: int) -> SkinPhoto:
            said = {"photo_id": ids[number], "entry_id": check, "taken_ms": 0, "now": now}
            return photo_take(phone=phone.row, data=jpeg(seed=number), **said)

        yield take


def test_the_same_photo_many_times_at_once_is_there_once(taking):
    results = at_once(TIMES, lambda _: taking(0))

    assert {type(one) for one in results} == {SkinPhoto}
    assert SkinPhoto.objects.count() == 1


def test_many_photos_at_once_find_no_more_room_than_there_is(taking):
    results = at_once(TIMES, taking)

    refused = [one.code for one in results if isinstance(one, PhotoRefused)]
    assert refused == ["photo_too_many"] * (TIMES - 3)
    assert SkinPhoto.objects.count() == 3
