"""Closed days: the clinic's phones hear of them, and of their end."""

from datetime import timedelta

import pytest

from clinician.selectors.duty import closed_words
from clinician.services.duty import absence_record, absence_take_back
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.services.clinics import clinician_deactivate
from tests.conftest import make_clinician


@pytest.fixture
def other(clinic, now):
    return make_clinician(clinic, "una@larkrise.example", now, name="Una Brill")


@pytest.fixture
def close(clinic, clinician, other, now):
    today = local_day(now, zone_or_utc(clinic.zone))

    def record(first: int, last: int):
        return absence_record(
            clinic=clinic,
            clinician=None,
            first_day=today + timedelta(days=first),
            last_day=today + timedelta(days=last),
            cover=other,
            by=clinician,
            now=now,
        )

    return record


def told(phone) -> dict:
    """The newest texts of this phone."""
    changes = phone.pull().json()["changes"]
    return next(one["texts"] for one in reversed(changes) if one["type"] == "texts")


def test_without_a_closure_the_texts_say_nothing_of_it(phone):
    assert "closed" not in told(phone)


def test_a_closure_is_told_with_who_answers_and_the_clinics_zone(phone, clinic, close):
    absence = close(3, 5)

    assert told(phone)["closed"] == {
        "zone": clinic.zone,
        "days": [
            {
                "first_day": absence.first_day.isoformat(),
                "last_day": absence.last_day.isoformat(),
                "answers": "Una Brill",
            }
        ],
    }


def test_a_closure_that_was_taken_back_is_told_no_more(phone, close, clinician, now):
    absence_take_back(absence=close(3, 5), by=clinician, now=now)

    assert "closed" not in told(phone)


def test_nobody_is_named_whose_access_has_ended(phone, close, other, clinician, now):
    lead = make_clinician(other.clinic, "lead@larkrise.example", now, role="lead", name="Lea Moor")
    close(3, 5)
    before = phone.pull().json()["changes"][-1]["version"]
    clinician_deactivate(clinician=other, by=lead, now=now)

    assert told(phone)["closed"]["days"][0]["answers"] == ""
    versions = [one["version"] for one in phone.pull().json()["changes"]]
    assert versions[-1] > before  # told anew, not only to who asks from the beginning


def test_one_persons_absence_is_no_closure(phone, clinic, clinician, other, now):
    day = local_day(now, zone_or_utc(clinic.zone))
    absence_record(
        clinic=clinic, clinician=other, first_day=day, last_day=day, cover=clinician,
        by=clinician, now=now,
    )  # fmt: skip

    assert "closed" not in told(phone)


def test_staff_is_told_who_answers_on_a_closed_day_only(clinic, close, now):
    close(0, 0)

    words = "The clinic is closed today. Una Brill answers for it."
    assert closed_words(clinic=clinic, at=now) == words
    assert closed_words(clinic=clinic, at=now + timedelta(days=1)) == ""
