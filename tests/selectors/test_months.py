"""Monthly counts, held beside what pandas counts from the raw rows."""

from datetime import UTC, date, datetime, timedelta
from random import Random

import pandas as pd
import pytest

from clinician.models import Contact
from clinician.selectors.months import month_rows
from homeprogram.calc.month_counts import MonthCounts
from homeprogram.models import Entry
from homeprogram.services.patients import patient_add
from tests.conftest import PairedPhone
from tests.entries import entry_id
from tests.support.desk import make_contact
from tests.support.pushes import push_at

ZONES = ("Pacific/Auckland", "America/Los_Angeles")  # a day apart
WAYS = ("telephone", "clinic", "home", "video", "message", "letter")
APRIL = datetime(2030, 4, 22, tzinfo=UTC)


def counts_of(patient, month: date = date(2030, 3, 1)) -> MonthCounts:
    rows = month_rows(clinic=patient.clinic, month=month)
    return next(row.counts for row in rows if row.patient_id == patient.id)


def note(phone, about: date, made: str = "") -> dict:
    body = {"for_date": about.isoformat(), "local_time": made or f"{about}T20:00:00"}
    return phone.entry("note_to_clinic", {"text": "Well.", "wants_contact": False}, **body)


@pytest.fixture
def months(clinician, now) -> list:
    """Two patients on both sides of the date line, February to April, by chance."""
    chance = Random(7)
    patients = []
    for place, zone in enumerate(ZONES):
        patient = patient_add(by=clinician, name=f"Patient {place}", now=now, zone=zone)
        phone = PairedPhone(patient, clinician, now)
        entries = [
            note(phone, date(2030, 2, 20) + timedelta(days=chance.randrange(60))) for _ in range(40)
        ]
        gone = [
            phone.entry("withdrawal", {"of": entry_id(one), "reason": "not mine"})
            for one in chance.sample(entries, 8)
        ]
        push_at(phone, now, *entries, *gone)
        for _ in range(40):
            at = datetime(2030, 2, 20, tzinfo=UTC) + timedelta(hours=chance.randrange(60 * 24))
            make_contact(
                patient,
                clinician,
                APRIL,
                at=at,
                way=chance.choice(WAYS),
                outcome=chance.choice(("done", "done", "not_reached", "call_back")),
                minutes=chance.choice((None, 5, 12, 30)),
            )
        first = patient.contacts.first()
        make_contact(patient, clinician, APRIL, at=first.at, minutes=17, corrects=first)
        patients.append(patient)
    return patients


def by_pandas(patient, month: str) -> dict:
    """The same counts from the raw tables: joins, groups and time zones are pandas' own."""
    entries = pd.DataFrame(Entry.objects.filter(patient=patient).values())
    gone = entries.loc[entries.kind == "withdrawal", "of"]
    facts = entries[(entries.kind != "withdrawal") & ~entries.entry_id.isin(gone)]
    about = pd.to_datetime(facts.for_date)
    made = pd.to_datetime(facts.local_time)
    contacts = pd.DataFrame(Contact.objects.filter(patient=patient).values())
    contacts = contacts[~contacts.id.isin(contacts.corrects_id.dropna())]
    local = pd.to_datetime(contacts["at"]).dt.tz_convert(patient.zone)
    contacts = contacts.assign(day=local.dt.date, month=local.dt.strftime("%Y-%m"))
    mine = contacts[contacts.month == month]
    had = mine[mine.outcome == "done"]
    live = had[had.way.isin(["telephone", "clinic", "home", "video"])]
    return {
        "days_with_data": about[about.dt.strftime("%Y-%m") == month].nunique(),
        "days_made": made[made.dt.strftime("%Y-%m") == month].dt.date.nunique(),
        "contacts": len(had),
        "tries": len(mine) - len(had),
        "minutes": int(had.minutes.sum()),
        "untimed": int(had.minutes.isna().sum()),
        "live_days": live.day.nunique(),
    }


def test_the_counts_are_those_of_pandas(months):
    for patient in months:
        for month in ("2030-02", "2030-03", "2030-04"):
            counted = counts_of(patient, date.fromisoformat(f"{month}-01"))

            assert {k: getattr(counted, k) for k in MonthCounts.__slots__} == by_pandas(
                patient, month
            )


def test_an_evening_call_counts_on_the_patients_day(clinician, now):
    far = patient_add(by=clinician, name="Far Away", now=now, zone="Pacific/Auckland")
    make_contact(far, clinician, APRIL, at=datetime(2030, 3, 31, 20, tzinfo=UTC))

    assert counts_of(far).contacts == 0
    assert counts_of(far, date(2030, 4, 1)).contacts == 1


def test_a_day_logged_late_counts_in_both_its_months(patient, phone, now):
    late = note(phone, date(2030, 2, 28), made="2030-03-02T09:00:00")
    push_at(phone, now, late)

    march, february = counts_of(patient), counts_of(patient, date(2030, 2, 1))
    assert (march.days_with_data, march.days_made) == (0, 1)
    assert (february.days_with_data, february.days_made) == (1, 0)


def test_the_question_count_does_not_grow(months, clinician, django_assert_num_queries):
    with django_assert_num_queries(4):
        month_rows(clinic=clinician.clinic, month=date(2030, 3, 1))


def test_another_clinics_patients_are_in_no_table(months, outsider):
    assert month_rows(clinic=outsider.clinic, month=date(2030, 3, 1)) == []
