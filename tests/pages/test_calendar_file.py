"""The calendar file, handed out at the desk."""

import pytest
from django.urls import reverse
from icalendar import Calendar

from tests.support.pushes import push_at


@pytest.fixture
def address(patient) -> str:
    return reverse("calendar-file", kwargs={"patient_id": patient.id})


ASKED = {"at": "18:30", "language": "es"}


def test_the_patients_page_leads_to_it(desk, patient_url, address):
    assert address in desk.get(patient_url).content.decode()


def test_it_comes_as_a_file_with_a_neutral_name(desk, address, phone, revision, now):
    push_at(phone, now, have=[revision.id])
    answer = desk.post(address, ASKED)
    event = Calendar.from_ical(answer.content).walk("VEVENT")[0]

    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="reminder.ics"'
    assert f"{event['dtstart'].dt:%H:%M}" == "18:30"
    assert event["summary"] == "Aviso"


def test_with_nothing_due_the_page_says_why(desk, address):
    assert "Nothing is due in the next 12 weeks" in desk.post(address, ASKED).content.decode()


@pytest.mark.parametrize("wall", ["21:00", "03:30", "07:59"])
def test_a_time_at_night_is_refused(desk, address, wall):
    answer = desk.post(address, ASKED | {"at": wall})

    assert "outside the quiet hours, 21:00 to 08:00" in answer.content.decode()


def test_the_night_is_the_one_the_clinic_has_set(desk, address, clinician):
    type(clinician.clinic).objects.update(settings={"quiet_from": "19:00", "quiet_until": "10:00"})
    answer = desk.post(address, ASKED | {"at": "19:30"})

    assert "outside the quiet hours, 19:00 to 10:00" in answer.content.decode()


def test_another_clinic_gets_none(outside_desk, address):
    assert outside_desk.post(address, ASKED).status_code == 404
