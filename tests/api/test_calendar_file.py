"""The calendar file as a phone fetches it."""

import pytest
from django.utils import timezone
from icalendar import Calendar
from rest_framework.test import APIClient

from homeprogram.services.pairing import phone_revoke
from tests.support.pushes import push_at

URL = "/api/v1/calendar/"
ASKED = {"at": "18:30", "language": "es"}


@pytest.fixture
def now():
    """The hour of a request is the server's own."""
    return timezone.now()


def test_a_phone_gets_its_due_days_at_the_hour_it_asks_for(phone, revision, now):
    push_at(phone, now, have=[revision.id])
    answer = phone.http.get(URL, ASKED)
    [event] = Calendar.from_ical(answer.json()["file"]).walk("VEVENT")

    assert f"{event['dtstart'].dt:%H:%M}" == "18:30"
    assert event["summary"] == "Aviso"
    assert event.walk("VALARM")


def test_its_owner_may_choose_any_hour(phone, revision, now):
    push_at(phone, now, have=[revision.id])

    assert phone.http.get(URL, ASKED | {"at": "06:15"}).json()["file"]


def test_with_nothing_due_there_is_no_file(phone):
    assert phone.http.get(URL, ASKED).json() == {"file": None}


@pytest.mark.parametrize("wrong", [{"at": "25:00"}, {"at": "18:30:15"}, {"language": "xx"}])
def test_what_is_no_hour_or_language_is_refused(phone, wrong):
    answer = phone.http.get(URL, ASKED | wrong)

    assert answer.status_code == 400
    assert list(answer.json()["fields"]) == list(wrong)


def test_an_unpaired_phone_gets_none(db):
    assert APIClient().get(URL, ASKED).status_code == 401


def test_a_replaced_phone_gets_none(phone, now):
    phone_revoke(phone=phone.row, state="replaced", now=now)

    assert phone.http.get(URL, ASKED).json()["code"] == "phone_revoked"
