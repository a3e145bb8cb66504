"""The real server inside a simulated world: its database, its clock, its chance, its people."""

import gc
import hashlib
import os
import random
import shutil
import sqlite3
import tempfile
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import django

ROOT = Path(__file__).resolve().parent.parent.parent
APPS = ("homeprogram", "clinician")
BORN = datetime(2030, 3, 4, 9, 0, tzinfo=UTC)
# Zones east, west, with half hours, and two whose clocks change within the worlds' weeks.
ZONES = ("UTC", "Europe/Paris", "America/New_York", "Asia/Kolkata", "Pacific/Auckland")


class Time:
    """What `timezone.now()` answers: the world's moment."""

    ms = int(BORN.timestamp() * 1000)

    @classmethod
    def now(cls) -> datetime:
        return datetime.fromtimestamp(cls.ms / 1000, tz=UTC)


class Chance:
    """Where the server's ids and secrets come from: the seed, through the system's own door."""

    source = random.Random(0)

    @classmethod
    def urandom(cls, size: int) -> bytes:
        return cls.source.randbytes(size)


def start_django() -> Path:
    """Set Django up on a database of its own in memory-backed files; once a process."""
    shm = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(prefix="sim-", dir=shm if shm.is_dir() else None))
    os.environ.setdefault("BOUTWISE_SECRET_KEY", "of a simulated clinic")
    os.environ |= {"BOUTWISE_MODE": "test", "BOUTWISE_VAR": str(folder), "DATABASE_URL": ""}
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "project.settings")
    django.setup()

    import logging

    from django.utils import timezone

    logging.disable(logging.CRITICAL)  # refusals and injected faults are what we are here for
    timezone.now = Time.now
    _migrate(folder)
    gc.freeze()  # what is loaded by now stays; looking through it again takes a tenth of the time
    gc.set_threshold(50_000, 20, 20)
    os.urandom = random._urandom = Chance.urandom
    return folder


def _migrate(folder: Path) -> None:
    """Empty tables of this release; kept between processes, for migrating takes seconds."""
    from django.conf import settings
    from django.core.management import call_command

    files = sorted(path for app in APPS for path in (ROOT / app).glob("migrations/*.py"))
    told = hashlib.sha256(b"".join(path.read_bytes() for path in files)).hexdigest()[:16]
    kept = Path(tempfile.gettempdir()) / f"boutwise-simulation-{told}.sqlite3"
    database = Path(settings.DATABASES["default"]["NAME"])
    if kept.exists():
        shutil.copy(kept, database)
        return
    call_command("migrate", verbosity=0)
    part = kept.with_suffix(f".{os.getpid()}")
    shutil.copy(database, part)
    part.replace(kept)  # whole or not at all, whoever else does the same


@dataclass(frozen=True)
class Cast:
    """Ids of the people and programs that every world starts with."""

    clinician: object
    patients: dict[str, object]  # by zone


def make_cast() -> Cast:
    from tests.conftest import make_clinic, make_program

    now = Time.now()
    clinic = make_clinic(now)
    clinician = _clinician(clinic, now)
    patients = {}
    for zone in ZONES:
        patient = _patient(clinician, zone, now)
        make_program(patient, clinician, now, limb="left", bouts_per_day=1)
        make_program(patient, clinician, now, limb="right", bouts_per_day=2)
        patients[zone] = patient.id
    return Cast(clinician, patients)


def _clinician(clinic: object, now: datetime) -> object:
    from homeprogram.services.clinics import clinician_invite

    return clinician_invite(
        clinic=clinic, email="ro@larkrise.example", name="Ro Desk", role="clinician", now=now
    )


def _patient(clinician: object, zone: str, now: datetime) -> object:
    from homeprogram.services.patients import patient_add

    return patient_add(by=clinician, name=f"Wilma {zone}", now=now, zone=zone)


class Database:
    """Copies of the whole record, through the database's own means."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._base = sqlite3.connect(":memory:")

    @staticmethod
    def raw() -> sqlite3.Connection:
        from django.db import connection

        connection.ensure_connection()
        return connection.connection

    def keep_base(self) -> None:
        self.raw().backup(self._base)

    def back_to_base(self) -> None:
        self._base.backup(self.raw())

    def copy(self, name: str) -> Path:
        """A backup, made by the shipped command's own service."""
        from homeprogram.services.backups import backup_write

        target = self.folder / name
        target.unlink(missing_ok=True)
        backup_write(target=target)
        return target

    def restore(self, source: Path, now: datetime) -> None:
        from homeprogram.services.backups import restore

        restore(source=source, now=now)

    def roll_back(self, source: Path) -> None:
        """A failover that nobody told the log of: fewer rows, the same name."""
        copy = sqlite3.connect(source)
        try:
            copy.backup(self.raw())
        finally:
            copy.close()


class Server:
    """Answers a phone's request through Django's own handler, or fails as told."""

    def __init__(self) -> None:
        from django.test import Client

        self.client = Client(SERVER_NAME="localhost", raise_request_exception=False)
        self.count = 0

    def serve(self, asked: dict, cookie: str | None, *, fail_at: int | None = None) -> dict:
        """{status, headers, text, cookie}; `fail_at` = the database fails at that statement."""
        self.count += 1
        self.client.cookies.clear()
        headers = dict(asked["headers"])
        if cookie:
            headers["Cookie"] = f"phone={cookie}"
        body = asked["body"] or ""
        with failing(fail_at) if fail_at is not None else nullcontext():
            answer = self.client.generic(
                asked["method"],
                asked["address"],
                body.encode(errors="surrogatepass"),
                content_type="application/json",
                headers=headers,
            )
        fresh = answer.cookies.get("phone")
        return {
            "status": answer.status_code,
            "headers": {
                name: answer[name] for name in ("Content-Type", "Retry-After") if name in answer
            },
            "text": answer.content.decode(),
            "cookie": fresh.value if fresh else None,
        }


@contextmanager
def failing(at: int):
    """The database refuses the statement of that number, once."""
    from django.db import OperationalError, connection

    count = 0

    def wrapper(execute, sql, params, many, context):
        nonlocal count
        count += 1
        if count == at:
            raise OperationalError("disk I/O error (injected)")
        return execute(sql, params, many, context)

    with connection.execute_wrapper(wrapper):
        yield
