"""One function a budget; each yields printed lines."""

import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from random import Random
from statistics import median

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.benchmarks.crowd import crowd
from tests.benchmarks.data import clinic_of, history_write
from tests.benchmarks.patient_page import patient_page
from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
from tests.entries import BOUT, skin
from tests.support.pushes import push_at
from tests.support.reminding import Remembering, agreed, routes_of, tick

NOW = datetime.now(tz=UTC)
TRANSACTION = ("SAVEPOINT", "RELEASE", "BEGIN", "COMMIT", "ROLLBACK", "SET")


def timed(action: Callable[[], object], times: int) -> list[float]:
    """Milliseconds of each run, the first two left out as warm-up."""
    taken = []
    for n in range(times + 2):
        began = time.perf_counter()
        action()
        if n >= 2:
            taken.append(1000 * (time.perf_counter() - began))
    return sorted(taken)


def line(what: str, taken: list[float], note: str = "") -> str:
    p95 = taken[int(0.95 * (len(taken) - 1))]
    return f"{what:<46} median {median(taken):8.1f} ms  p95 {p95:8.1f} ms  {note}"


def queries(action: Callable[[], object]) -> int:
    """Statements of one run, savepoints and transaction words left out."""
    with CaptureQueriesContext(connection) as seen:
        action()
    return sum(not q["sql"].startswith(TRANSACTION) for q in seen.captured_queries)


def every(*, small: bool) -> Iterator[str]:
    yield from push()
    yield from desk(small)
    yield from patient_page()
    yield from rebuild(small)
    yield from flags(small)
    yield from reminders(small)


def push(patients: int = 24) -> Iterator[str]:
    """Patients with four weeks behind them, each sending what a phone sends."""
    clinician = clinic_of(patients=patients, days=28, now=NOW)
    phones = [PairedPhone(one, clinician, NOW, standing=True) for one in clinician.patients.all()]
    for size in (1, 10):
        batches = iter([(phone, _batch(phone, size)) for phone in phones])

        def send(batches: Iterator = batches) -> None:
            phone, entries = next(batches)
            reply = phone.push(*entries, claim=True)
            assert reply.status_code == 200, reply.content

        asked = queries(send)
        yield line(f"push of {size}", timed(send, patients - 3), f"{asked} queries")


def _batch(phone: PairedPhone, size: int) -> list[dict]:
    """Bouts and skin checks in turn, two a day, up to today."""
    from homeprogram.models import Revision

    revision = Revision.objects.get(program__patient=phone.row.patient)
    program = {
        "episode_id": str(revision.program.episode_id),
        "revision_id": str(revision.id),
    }
    days = [(NOW - timedelta(days=n // 2)).date().isoformat() for n in range(size)]
    return [
        phone.entry(*(("skin_check", skin()) if n % 2 else ("bout", BOUT)), **program, for_date=day)
        for n, day in enumerate(days)
    ]


def desk(small: bool) -> Iterator[str]:
    sizes = ((40, 30), (40, 365), (4, 30)) if small else ((40, 30), (40, 365), (500, 30))
    for patients, days in sizes:
        clinician = clinic_of(patients=patients, days=days, now=NOW)
        client = Client()
        client.force_login(clinician.user)

        def panel(client: Client = client) -> None:
            assert client.get("/desk/").status_code == 200

        taken = timed(panel, 12)
        yield line(f"panel of {patients}, {days} days", taken, f"{queries(panel)} queries")

        def months(client: Client = client) -> None:
            assert client.get("/desk/months/").status_code == 200

        taken = timed(months, 12)
        yield line(f"months of {patients}, {days} days", taken, f"{queries(months)} queries")


def rebuild(small: bool) -> Iterator[str]:
    from homeprogram.services.patients import patient_add
    from homeprogram.services.projections import patient_rebuild

    then = NOW - timedelta(days=2000)
    clinic = make_clinic(then, "Rebuild")
    clinician = make_clinician(clinic, "rebuild@bench.example", then)
    for days in (200, 1000) if small else (200, 1000, 1900):
        patient = patient_add(by=clinician, name=f"Rebuild {days}", now=then, zone="UTC")
        revision = make_program(patient, clinician, then)
        phone = PairedPhone(patient, clinician, then, standing=True)
        count = history_write(patient, phone, revision, days=days, now=NOW, random=Random(1))
        began = time.perf_counter()
        patient_rebuild(patient=patient)
        rate = count / (time.perf_counter() - began)
        yield f"rebuild of {count} entries of one patient        {rate:8.0f} entries/s"


def flags(small: bool) -> Iterator[str]:
    """The clock's nightly round over patients whose cards stay as they are."""
    from homeprogram.models import Patient
    from homeprogram.services.flag_rounds import flags_tick

    size = 200 if small else 2000
    clinician = clinic_of(patients=1, days=28, now=NOW)
    flags_tick(now=NOW)
    crowd(clinician.patients.get(), size, history=True)
    Patient.objects.filter(clinic=clinician.clinic).update(flags_next_at=None)
    began, cpu = time.perf_counter(), time.process_time()
    tick = flags_tick(now=NOW)
    took, cpu = time.perf_counter() - began, time.process_time() - cpu
    each = 1000 * took / tick.patients
    yield (
        f"flags of {tick.patients} patients {each:8.3f} ms each ({1000 * cpu / tick.patients:.3f} "
        f"of it ours, the rest the database's or waiting), {tick.changed} changed"
    )


def reminders(small: bool) -> Iterator[str]:
    """One minute's tick among 100,000 with reminders, a thousand of them due."""
    from clinician.models import ReminderSetting
    from homeprogram.services.patients import patient_add

    size, due = (5_000, 100) if small else (100_000, 1_000)
    then = NOW.replace(hour=9, minute=0) - timedelta(days=3)
    six = NOW.replace(hour=18, minute=0, second=0, microsecond=0)
    clinic = make_clinic(then, "Reminders")
    clinician = make_clinician(clinic, "reminders@bench.example", then)
    patient = patient_add(by=clinician, name="Reminded", now=then, zone="UTC")
    revision = make_program(patient, clinician, then)
    push_at(PairedPhone(patient, clinician, then, standing=True), then, have=[revision.id])
    agreed(patient, clinician, then)
    crowd(patient, size)
    ReminderSetting.objects.update(next_at=six + timedelta(hours=1))
    ids = list(ReminderSetting.objects.values_list("id", flat=True)[:due])
    ReminderSetting.objects.filter(id__in=ids).update(next_at=six)
    began = time.perf_counter()
    done = tick(routes_of(email=Remembering()), six)
    took = time.perf_counter() - began
    yield f"reminders: {done.sent} due of {size} found, claimed, settled in {took:.1f} s"
    took = timed(lambda: tick(routes_of(email=Remembering()), six), 20)
    yield line("reminders: a tick with nobody due", took)
