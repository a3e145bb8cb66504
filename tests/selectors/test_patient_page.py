"""The patient page asks the record as often for a year as for a month, and few times."""

from datetime import UTC, datetime, timedelta
from random import Random

from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.benchmarks.data import history_write
from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
from tests.support.prescribing import make_strength_test

MOST = 15
SIGN_IN = 2  # who is there


def lived(days: int):
    """A patient of two limbs with so many days of entries, and the clinician."""
    from homeprogram.services.patients import patient_add

    now = datetime.now(tz=UTC)
    then = now - timedelta(days=days + 1)
    clinician = make_clinician(make_clinic(then), f"ro{days}@larkrise.example", then)
    patient = patient_add(by=clinician, name="Wilma Tarn", now=then, zone="UTC")
    left = make_program(patient, clinician, then)
    make_program(patient, clinician, then, "right")
    cleared = {"cleared_on": then.date()}
    make_strength_test(left.program.episode, clinician, now, said=cleared)
    phone = PairedPhone(patient, clinician, then, standing=True)
    history_write(patient, phone, left, days=days, now=now, random=Random(5))
    return patient, clinician


def asked(client, patient, weeks: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        answer = client.get(f"/desk/patients/{patient.id}/?weeks={weeks}")
    assert answer.status_code == 200
    return len(seen)


def test_a_year_costs_the_questions_of_a_month(client, db):
    counts = {}
    for days in (30, 365):
        patient, clinician = lived(days)
        client.force_login(clinician.user)
        asked(client, patient, "4")  # the session is written once a minute
        counts[days] = [asked(client, patient, weeks) for weeks in ("4", "12", "all")]

    usual, _, whole = counts[30]
    assert counts[30] == counts[365]
    assert usual <= MOST + SIGN_IN
    assert whole == usual + 1  # where the course began
