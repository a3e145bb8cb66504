"""Copies of the whole record, and coming back to one without losing what phones hold."""

import os
import shutil
import sqlite3
import subprocess
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.db import connection

from homeprogram.errors import RuleBroken
from homeprogram.models import Entry, HeldEntry, Patient, Phone, PhoneState
from homeprogram.services.clinics import log_identity_draw


@dataclass(frozen=True, slots=True)
class Counts:
    """What a copy must hold as much of as its original."""

    patients: int
    entries: int
    held: int
    newest: datetime | None


def record_counts() -> Counts:
    newest = Entry.objects.order_by("-received_at").values_list("received_at", flat=True).first()
    return Counts(Patient.objects.count(), Entry.objects.count(), HeldEntry.objects.count(), newest)


def backup_write(*, target: Path) -> Counts:
    """A verified copy at `target`; raises RuleBroken when it does not hold everything.

    Never a copy of the file: the database's own means give one moment in time.
    """
    if target.exists():
        raise RuleBroken(f"{target} exists. Name a new file.", code="backup_exists")
    target.parent.mkdir(parents=True, exist_ok=True)
    before = record_counts()
    if connection.vendor == "sqlite":
        _sqlite_copy(target)
        held = _sqlite_verify(target)
    else:
        _pg("pg_dump", "--format=custom", f"--file={target}", "--no-owner")
        held = None
        _pg("pg_restore", "--list", str(target), database=False)
    if held is not None and held < before.entries:
        raise RuleBroken("The copy is not complete. Try again.", code="backup_incomplete")
    target.chmod(0o600)
    return before


def _sqlite_copy(target: Path) -> None:
    connection.ensure_connection()
    copy = sqlite3.connect(target)
    try:
        connection.connection.backup(copy)
    finally:
        copy.close()


def _sqlite_verify(source: Path) -> int:
    """The number of entries in a sound copy; RuleBroken for any other file."""
    copy = sqlite3.connect(f"file:{source}?mode=ro", uri=True)
    try:
        (sound,) = copy.execute("PRAGMA integrity_check").fetchone()
        (entries,) = copy.execute("SELECT count(*) FROM homeprogram_entry").fetchone()
    except sqlite3.DatabaseError:
        raise RuleBroken(f"{source} is no copy of a record.", code="backup_unreadable") from None
    finally:
        copy.close()
    if sound != "ok":
        raise RuleBroken(f"{source} is damaged: {sound}.", code="backup_unreadable")
    return entries


def restore(*, source: Path, now: datetime) -> Counts:
    """Put a copy in the place of the record and give the log a new name.

    Phones see the new log identity, pull from the start and offer again all they
    hold; cursors of the old log mean nothing, so versions may start where the
    copy's end. Stop the web processes first.
    """
    if not source.exists():
        raise RuleBroken(f"There is no file {source}.", code="backup_missing")
    if connection.vendor == "sqlite":
        _sqlite_verify(source)
        connection.ensure_connection()
        copy = sqlite3.connect(f"file:{source}?mode=ro", uri=True)
        try:
            copy.backup(connection.connection)
        finally:
            copy.close()
        connection.close()
    else:
        _pg("pg_restore", "--list", str(source), database=False)
        connection.close()
        _pg(
            "pg_restore",
            "--clean",
            "--if-exists",
            "--no-owner",
            "--single-transaction",
            str(source),
        )
    log_identity_draw(now=now)
    return record_counts()


def phones_expected() -> int:
    """Active phones that will offer their entries again after a restore."""
    return Phone.objects.filter(state=PhoneState.ACTIVE).count()


def _pg(program: str, *arguments: str, database: bool = True) -> None:
    path = shutil.which(program)
    if path is None:
        raise RuleBroken(f"{program} is not installed here.", code="program_missing")
    settings = connection.settings_dict
    named = {
        "PGHOST": settings["HOST"],
        "PGPORT": settings["PORT"],
        "PGUSER": settings["USER"],
        "PGPASSWORD": settings["PASSWORD"],
    }
    target = [f"--dbname={settings['NAME']}"] if database else []
    done = subprocess.run(  # noqa: S603  the database's own programs, our own arguments
        [path, *target, *arguments],
        env=os.environ | {name: value for name, value in named.items() if value},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuleBroken(f"{program} failed: {done.stderr.strip()[:300]}", code="program_failed")
