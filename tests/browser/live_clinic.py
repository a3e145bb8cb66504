"""A running clinic with phones to pair, and its record as it lies on the disk."""

import json
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from tests.support.live import LiveServer

PATIENTS = 14
COLUMNS = "entry_id, number, kind, for_date, local_time, offset_min, zone, sha256, raw"


@dataclass(frozen=True, slots=True)
class Stored:
    """One entry as the clinic has it."""

    id: str
    number: int
    kind: str
    for_date: str
    local_time: str
    offset_min: int
    zone: str
    sha256: str
    raw: str


@dataclass(frozen=True, slots=True)
class Paired:
    """Whose phone it will be."""

    patient: str
    episode: str
    revision: str
    code: str


class LiveClinic:
    def __init__(self, folder: Path, story: str = "patients", **environment: str) -> None:
        self.server = LiveServer(folder, **environment)
        told = self.server.seed(story, stories="tests.browser.live_clinic")
        self.login, self.password = told["login"], told["password"]
        self._patients: Iterator[Paired] = iter([Paired(**one) for one in told["patients"]])
        self.server.start()

    @property
    def url(self) -> str:
        return self.server.url

    def patient(self) -> Paired:
        """The next one nobody has used yet."""
        return next(self._patients)

    def rows(self, sql: str, *values: str) -> list[tuple]:
        """Straight from the file: what was committed, whatever the server says."""
        with closing(sqlite3.connect(self._record)) as record:
            return record.execute(sql, values).fetchall()

    def paired_days_ago(self, one: Paired, days: int) -> None:
        """As if this patient's phones had been paired so long ago."""
        names = ("created_at", "confirmed_at")
        moved = ", ".join(f"{name} = datetime({name}, :by)" for name in names)
        given = {"by": f"-{days} days", "whose": one.patient.replace("-", "")}
        with closing(sqlite3.connect(self._record)) as record, record:
            record.execute(f"UPDATE homeprogram_phone SET {moved} WHERE patient_id = :whose", given)

    @property
    def _record(self) -> Path:
        (found,) = self.server.folder.glob("*.sqlite3")
        return found

    def entries(self, one: Paired) -> list[Stored]:
        """Every stored row, so an entry that was taken twice shows twice."""
        sql = f"SELECT {COLUMNS} FROM homeprogram_entry WHERE patient_id = ? ORDER BY number"
        plain = one.patient.replace("-", "")
        return [Stored(*row) for row in self.rows(sql, plain)]

    def held(self, one: Paired) -> list[str]:
        sql = "SELECT code FROM homeprogram_heldentry WHERE patient_id = ?"
        return [code for (code,) in self.rows(sql, one.patient.replace("-", ""))]


# --- the story, told to a server's own record ------------------------------


def patients(count: int = PATIENTS, **dose) -> dict:
    """Patients whose programs run since five days, each with a code for a phone.

    An older phone stays beside the new one and claims that it holds nothing, so
    that only what the new phone says decides about the days gone by.
    """
    from django.utils import timezone

    from tests.conftest import PASSWORD, make_clinic, make_clinician

    now = timezone.now()
    clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now, name="Ro Desk")
    return {
        "login": clinician.user.email,
        "password": PASSWORD,
        "patients": [_patient(f"Wilma Tarn {at}", clinician, now, dose) for at in range(count)],
    }


def patient() -> dict:
    return patients(1)


def paced_patients() -> dict:
    """Short bouts of two exercises, the second one with a tempo, and own effort between."""
    kick = {
        "code": "long_kick",
        "name": "Straighten the knee",
        "contraction_type": "concentric",
        "how": "Lift the foot as far as you may.",
    }
    press = kick | {"code": "quad_set", "name": "Tighten the thigh", "how": "Push the knee down."}
    return patients(
        2,
        contractions_per_bout=6,
        bout_min=3,
        off_s=20,
        voluntary_in_off=True,
        exercises=(press, kick),
        details={"tempos": {"long_kick": [3, 3, 3]}},
    )


def photographed_patients() -> dict:
    """Patients who agreed to photos of their skin."""
    from django.utils import timezone

    from homeprogram.models import Clinician, Patient
    from tests.support.photos import agreed_to_photos

    told = patients(4)
    by = Clinician.objects.get()
    for one in told["patients"]:
        agreed_to_photos(Patient.objects.get(id=one["patient"]), by, timezone.now())
    return told


def beginner() -> dict:
    """A patient whose home program starts tomorrow; no phone yet."""
    from django.utils import timezone

    from homeprogram.services.pairing import code_create
    from homeprogram.services.patients import patient_add
    from tests.conftest import PASSWORD, make_clinic, make_clinician, make_program

    now = timezone.now()
    clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now, name="Ro Desk")
    patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone="UTC")
    revision = make_program(patient, clinician, now)
    code = code_create(patient=patient, by=clinician, now=now, replaces=True, standing=True)
    told = {
        "patient": str(patient.id),
        "episode": str(revision.program.episode_id),
        "revision": str(revision.id),
        "code": code.code,
    }
    return {"login": clinician.user.email, "password": PASSWORD, "patients": [told]}


def _patient(name: str, by, now, dose: dict) -> dict[str, str]:
    from datetime import timedelta

    from homeprogram.services.pairing import code_create
    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_program
    from tests.support.pushes import push_at

    then = now - timedelta(days=6)
    patient = patient_add(by=by, name=name, now=then, zone="UTC")
    revision = make_program(patient, by, then, **dose)
    old = PairedPhone(patient, by, then, label="old phone", standing=True)
    push_at(old, then, have=[revision.id])
    push_at(old, now, claim=True)
    code = code_create(patient=patient, by=by, now=now, replaces=False, standing=True)
    return {
        "patient": str(patient.id),
        "episode": str(revision.program.episode_id),
        "revision": str(revision.id),
        "code": code.code,
    }


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps(globals()[sys.argv[1]]()))
