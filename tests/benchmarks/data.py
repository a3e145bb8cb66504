"""A clinic of any size and age, written in bulk for measuring only."""

import hashlib
import json
import uuid
from datetime import datetime, timedelta
from functools import partial
from random import Random

from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
from tests.entries import BOUT, skin

BODY_FIELDS = {"schema": 1, "offset_min": 0, "zone": "UTC", "clock_changed": False}


def clinic_of(*, patients: int, days: int, now: datetime, seed: int = 7):
    """Patients who did about four of five bouts for so many days; returns the clinician."""
    from homeprogram.services.patients import patient_add

    random = Random(seed)
    then = now - timedelta(days=days + 1)
    clinic = make_clinic(then, f"Clinic {patients} {days}")
    clinician = make_clinician(clinic, f"c{patients}-{days}@bench.example", then)
    for n in range(patients):
        patient = patient_add(by=clinician, name=f"Patient {n}", now=then, zone="UTC")
        revision = make_program(patient, clinician, then)
        phone = PairedPhone(patient, clinician, then, standing=True)
        history_write(patient, phone, revision, days=days, now=now, random=random)
    return clinician


def history_write(patient, phone, revision, *, days: int, now: datetime, random: Random) -> int:
    """Entries straight into the log, then one rebuild; how many entries."""
    from homeprogram.models import Change, Entry, Patient, Phone, RevisionOnPhone
    from homeprogram.services.projections import patient_rebuild

    first = now.date() - timedelta(days=days)
    rows = []
    row = partial(_row, patient, phone, revision)
    for n in range(days):
        if random.random() < 0.8:
            rows.append(row("bout", BOUT, first + timedelta(n), len(rows) + 1))
        rows.append(row("skin_check", skin(), first + timedelta(n), len(rows) + 1))
    Entry.objects.bulk_create(rows, batch_size=500)
    Change.objects.bulk_create(
        [
            Change(
                clinic_id=patient.clinic_id,
                patient=patient,
                version=row.version,
                type="entry",
                object_id=row.entry_id,
            )
            for row in rows
        ],
        batch_size=500,
    )
    Patient.objects.filter(id=patient.id).update(log_version=rows[-1].version)
    Phone.objects.filter(id=phone.id).update(
        high=len(rows), claimed_to=len(rows), claim_at=now, last_contact_at=now
    )
    RevisionOnPhone.objects.create(
        clinic_id=patient.clinic_id,
        revision=revision,
        phone=phone.row,
        named_at=revision.created_at,
        named_on=revision.created_at.date(),
    )
    patient_rebuild(patient=patient)
    return len(rows)


def _row(patient, phone, revision, *said):
    from homeprogram.models import Entry

    kind, payload, day, number = said
    entry_id = uuid.uuid4()
    body = BODY_FIELDS | {
        "id": str(entry_id),
        "phone_id": str(phone.id),
        "number": number,
        "kind": kind,
        "for_date": day.isoformat(),
        "payload": payload,
    }
    raw = json.dumps(body)
    moment = datetime.combine(day, datetime.min.time(), tzinfo=revision.created_at.tzinfo)
    return Entry(
        clinic_id=patient.clinic_id,
        patient=patient,
        phone=phone.row,
        episode_id=revision.program.episode_id,
        revision=revision,
        entry_id=entry_id,
        number=number,
        kind=kind,
        schema=1,
        for_date=day,
        local_time=f"{day}T08:00:00",
        offset_min=0,
        zone="UTC",
        device_ms=0,
        logged_by={"who": "patient"},
        payload=payload,
        raw=raw,
        sha256=hashlib.sha256(raw.encode()).hexdigest(),
        received_at=moment + timedelta(hours=9),
        version=patient.log_version + 10 + number,
    )
