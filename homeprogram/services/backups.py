"""Copies of the whole record, and coming back to one without losing what phones hold."""

import os
import shutil
import sqlite3
import subprocess
from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.db import connection
from psycopg.conninfo import make_conninfo

from homeprogram.errors import RuleBroken
from homeprogram.models import Entry, HeldEntry, Patient, Phone, PhoneState
from homeprogram.services.clinics import log_identity_draw

# Tables whose rows are counted in a copy.
COUNTED = ("homeprogram_patient", "homeprogram_entry", "homeprogram_heldentry")


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
    else:
        _pg("pg_dump", "--format=custom", f"--file={target}", "--no-owner")
    patients, entries, held = _verified(target)
    # The record may have grown since, or taken a held entry into its log; it never shrinks.
    if (
        patients < before.patients
        or entries < before.entries
        or entries + held < before.entries + before.held
    ):
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


def _verified(source: Path) -> tuple[int, ...]:
    """The rows of each counted table in a sound copy; RuleBroken for any other file."""
    if connection.vendor == "sqlite":
        return _sqlite_counts(source)
    rows = _pg_counts(source)
    return tuple(rows[table] for table in COUNTED)


def _sqlite_counts(source: Path) -> tuple[int, ...]:
    copy = sqlite3.connect(f"file:{source}?mode=ro", uri=True)
    try:
        (sound,) = copy.execute("PRAGMA integrity_check").fetchone()
        counts = [copy.execute(f"SELECT count(*) FROM {name}").fetchone() for name in COUNTED]  # noqa: S608
    except sqlite3.DatabaseError:
        raise _unreadable(source) from None
    finally:
        copy.close()
    if sound != "ok":
        raise RuleBroken(f"{source} is damaged: {sound}.", code="backup_unreadable")
    return tuple(count for (count,) in counts)


def _pg_counts(source: Path) -> Counter:
    """Every row of these tables is read out of the archive and counted, none is kept.

    The archive's table of contents alone would be there in one cut in half too.
    """
    tables = [f"--table={table}" for table in COUNTED]
    command = [_program("pg_restore"), "--data-only", *tables, "--file=-", str(source)]
    rows: Counter = Counter()
    table = None
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as reading:  # noqa: S603
        for line in reading.stdout:
            if table is None and line.startswith(b"COPY "):
                table = line.split()[1].decode().rpartition(".")[2]
            elif line == b"\\.\n":
                table = None
            elif table:
                rows[table] += 1
    if reading.returncode:
        raise _unreadable(source)
    return rows


def _unreadable(source: Path) -> RuleBroken:
    return RuleBroken(f"{source} is no copy of a record.", code="backup_unreadable")


def restore(*, source: Path, now: datetime) -> Counts:
    """Put a copy in the place of the record and give the log a new name.

    Phones see the new log identity, pull from the start and offer again all they
    hold; cursors of the old log mean nothing, so versions may start where the
    copy's end. Stop the web processes first.
    """
    if not source.exists():
        raise RuleBroken(f"There is no file {source}.", code="backup_missing")
    _verified(source)
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        copy = sqlite3.connect(f"file:{source}?mode=ro", uri=True)
        try:
            copy.backup(connection.connection)
        finally:
            copy.close()
        connection.close()
    else:
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


def _program(name: str) -> str:
    path = shutil.which(name)
    if path is None:
        raise RuleBroken(f"{name} is not installed here.", code="program_missing")
    return path


def _pg(program: str, *arguments: str) -> None:
    settings = connection.settings_dict
    named = {
        "PGHOST": settings["HOST"],
        "PGPORT": settings["PORT"],
        "PGUSER": settings["USER"],
        "PGPASSWORD": settings["PASSWORD"],
    }
    # What the address says after its "?" counts here too: a port, or how to encrypt.
    target = make_conninfo(dbname=settings["NAME"], **settings["OPTIONS"])
    done = subprocess.run(  # noqa: S603  the database's own programs, our own arguments
        [_program(program), f"--dbname={target}", *arguments],
        env=os.environ | {name: value for name, value in named.items() if value},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuleBroken(f"{program} failed: {done.stderr.strip()[:300]}", code="program_failed")
