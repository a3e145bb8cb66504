"""The clock opens what silence calls for, and one bad patient stops no other."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from clinician.models import Heartbeat
from clinician.selectors.heartbeat import JOBS, silent_jobs
from clinician.services import clock as services
from homeprogram.models import Clinic, Flag, Patient
from homeprogram.services.patients import patient_add
from homeprogram.services.push import Push, push_take
from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program


def silent_patient(name: str, clinic_name: str) -> Patient:
    """Due every day for five days, and not a word from the phone since the first visit."""
    then = timezone.now() - timedelta(days=6)
    clinic = make_clinic(then, clinic_name)
    clinician = make_clinician(clinic, f"{name.lower()}@clinic.example", then)
    patient = patient_add(by=clinician, name=f"{name} Tarn", now=then, zone="UTC")
    revision = make_program(patient, clinician, then)
    phone = PairedPhone(patient, clinician, then).row
    sent_ms = int(then.timestamp() * 1000)
    push_take(phone=phone, push=Push("test", 0, [revision.id], [], None, sent_ms), now=then)
    return patient


def clock() -> str:
    out = StringIO()
    call_command("clock", "--once", stdout=out, stderr=StringIO())
    return out.getvalue()


def test_opens_a_flag_that_no_request_would(db):
    patient = silent_patient("Wilma", "Larkrise")
    assert not Flag.objects.exists()
    assert "1 patients, 1 changed, 0 failed" in clock()
    assert Flag.objects.get().reason == "no_contact"
    assert Flag.objects.get().patient == patient


def test_a_second_round_changes_nothing(db):
    silent_patient("Wilma", "Larkrise")
    clock()
    before = list(Flag.objects.values())
    clock()
    assert list(Flag.objects.values()) == before


def test_one_patient_that_fails_stops_no_other(db, caplog):
    broken = silent_patient("Wilma", "Larkrise")
    sound = silent_patient("Una", "Saltmarsh")
    Clinic.objects.filter(id=broken.clinic_id).update(rules={"no_such_rule": 1})
    with pytest.raises(CommandError, match="could not be evaluated"):
        clock()
    assert list(Flag.objects.values_list("patient_id", flat=True)) == [sound.id]
    assert str(broken.id) in caplog.text
    assert "Wilma" not in caplog.text


def test_patients_no_longer_in_care_are_left_alone(db):
    patient = silent_patient("Wilma", "Larkrise")
    Patient.objects.filter(id=patient.id).update(archived_at=timezone.now())
    assert "0 patients" in clock()
    assert not Flag.objects.exists()


def test_asks_whether_once_or_for_ever(db):
    with pytest.raises(CommandError, match="--once"):
        call_command("clock", stdout=StringIO(), stderr=StringIO())


def test_refuses_a_round_without_rest(db):
    with pytest.raises(CommandError, match="1 second"):
        call_command("clock", "--loop", every=0, stdout=StringIO(), stderr=StringIO())


def test_every_job_leaves_a_heartbeat_with_counts_only(db):
    silent_patient("Wilma", "Larkrise")
    assert [one.job for one in silent_jobs(now=timezone.now())] == list(JOBS)
    clock()

    assert silent_jobs(now=timezone.now()) == []
    assert "Evaluated 1 patients" in Heartbeat.objects.get(job="flags").did


def test_a_job_that_breaks_stops_no_other_and_its_heart_stands_still(db, monkeypatch, caplog):
    monkeypatch.setitem(services.JOBS, "reminders", lambda given: 1 // 0)
    with pytest.raises(CommandError, match="see the log"):
        clock()

    assert [one.job for one in silent_jobs(now=timezone.now())] == ["reminders"]
    assert "job reminders: ZeroDivisionError" in caplog.text


def test_readiness_names_the_jobs_that_are_silent(client, db):
    before = client.get("/readyz").json()["silent_jobs"]
    clock()

    assert before == list(JOBS)
    assert client.get("/readyz").json()["silent_jobs"] == []
