"""The clock opens what silence calls for, and one bad patient stops no other."""

import os
import signal
from datetime import time, timedelta
from io import StringIO
from threading import Timer

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from clinician.models import Heartbeat, Way
from clinician.selectors.heartbeat import JOBS, silent_jobs
from clinician.services import clock as services
from clinician.services.channels.outcome import Outcome
from homeprogram.models import Clinic, Flag, Patient
from homeprogram.services.patients import patient_add
from homeprogram.services.push import Push, push_take
from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
from tests.support.reminding import Remembering, agreed, due_patient, routes_of


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


@pytest.fixture
def due(db, monkeypatch):
    """`due(names, channel)`: so many patients, each to be reminded at this very hour."""

    def make(names: list[str], channel: Remembering) -> None:
        monkeypatch.setitem(services.ROUTES, Way.EMAIL, routes_of(email=channel)[Way.EMAIL])
        now = timezone.now()
        east = 12 - now.hour  # it is noon where they live, whenever this runs
        by = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        for name in names:
            one = due_patient(by, now - timedelta(days=2), name, zone=f"Etc/GMT{-east:+d}")
            agreed(one, by, now - timedelta(days=1), times=[time(12)])

    return make


class Watching(Remembering):
    """Writes down which jobs have run by the time it is handed a message."""

    def send(self, **message) -> Outcome:
        self.beats = set(Heartbeat.objects.values_list("job", flat=True))
        return super().send(**message)


def test_flags_and_mail_do_not_wait_for_reminders(due):
    channel = Watching()
    due(["Una"], channel)
    clock()

    assert channel.beats == {"flags", "mail"}


def test_a_round_of_reminders_has_a_time_and_the_others_their_turn_before_the_next(
    due, monkeypatch
):
    monkeypatch.setattr(services, "REMINDERS_FOR_S", 0)
    channel = Remembering()
    due(["Una", "Osk", "Pia"], channel)
    told = clock()

    assert len(channel.taken) == 3
    assert told.count("1 sent, 0 not delivered") == 3
    assert told.count("Mail to clinicians") >= 3


@pytest.fixture
def signals():
    """As they were."""
    before = {one: signal.getsignal(one) for one in (signal.SIGINT, signal.SIGTERM)}
    yield
    for one, handler in before.items():
        signal.signal(one, handler)


class Stopping(Remembering):
    """Ends the process's loop with the second message."""

    def send(self, **message) -> Outcome:
        if self.taken:
            os.kill(os.getpid(), signal.SIGTERM)
        return super().send(**message)


# The loop closes old connections, and with them, on PostgreSQL, the test's own transaction;
# the questions of its rounds are asked there by the tests above.
@pytest.mark.any_database
def test_what_was_left_is_taken_up_without_a_rest(due, monkeypatch, signals):
    monkeypatch.setattr(services, "REMINDERS_FOR_S", 0)
    channel = Stopping()
    due(["Una", "Osk"], channel)
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    too_long = Timer(20, os.kill, (os.getpid(), signal.SIGTERM))
    too_long.start()
    call_command("clock", "--loop", every=3600, stdout=StringIO(), stderr=StringIO())
    too_long.cancel()

    assert len(channel.taken) == 2
