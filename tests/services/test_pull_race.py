"""A phone that pulls while others write misses nothing: on real connections at once."""

import time
from dataclasses import dataclass, field

import pytest
from django.db import connection
from django.utils import timezone

from homeprogram.models import Patient
from homeprogram.selectors.log import changes_after
from homeprogram.services.patients import patient_add
from homeprogram.services.programs import pause_end, program_pause
from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
from tests.support.concurrency import at_once, committed
from tests.support.pushes import push_at

WRITES = 25
NOTE = {"text": "x", "wants_contact": False}


@dataclass
class Reader:
    """Remembers the last version it saw, as a phone does."""

    patient: Patient
    seen: list[int] = field(default_factory=list)

    def read(self) -> int:
        after = self.seen[-1] if self.seen else 0
        page = changes_after(patient=self.patient, version=after, most=7)
        self.seen += [change.version for change in page]
        return len(page)

    def read_for(self, seconds: float) -> None:
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            self.read()


def notes_push(phone, now) -> None:
    for _ in range(WRITES):
        push_at(phone, now, phone.entry("note_to_clinic", NOTE))


def pauses_make(program, clinician, now) -> None:
    for _ in range(WRITES):
        pause = program_pause(program=program, by=clinician, reason="travel", now=now)
        pause_end(pause=pause, by=pause.created_by, now=now)


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_a_reader_by_cursor_sees_every_version_once_and_in_order(
    django_db_setup, django_db_blocker
):
    with committed(django_db_blocker):
        now = timezone.now()
        clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone="UTC")
        program = make_program(patient, clinician, now).program
        one, two = (
            PairedPhone(patient, clinician, now, replaces=False, standing=True) for _ in range(2)
        )
        reader = Reader(patient)
        threads = [
            lambda: notes_push(one, now),
            lambda: notes_push(two, now),
            lambda: pauses_make(program, clinician, now),
            lambda: reader.read_for(2),
        ]

        assert at_once(len(threads), lambda n: threads[n]()) == [None] * len(threads)
        while reader.read():
            pass

        written = Patient.objects.get(id=patient.id).log_version
        assert reader.seen == list(range(1, written + 1))
        assert written >= 4 * WRITES
