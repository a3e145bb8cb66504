"""Settings that lose acknowledged entries are refused, on both databases."""

import pytest

from project.database import sqlite_pragmas
from project.durability import durability, unsafe

SOUND_PG = {
    "fsync": "on",
    "full_page_writes": "on",
    "synchronous_commit": "on",
    "data_checksums": "on",
    "server_version": "15.1",
}


@pytest.mark.parametrize(
    ("journal", "synchronous", "faults"),
    [
        ("WAL", "FULL", 0),
        ("DELETE", "EXTRA", 0),
        ("WAL", "NORMAL", 1),
        ("DELETE", "OFF", 1),
        ("MEMORY", "FULL", 1),
    ],
)
def test_sqlite_must_flush_every_commit(journal, synchronous, faults):
    found = {"journal_mode": journal, "synchronous": synchronous}

    assert len(unsafe(found)) == faults


@pytest.mark.parametrize("name", ["fsync", "full_page_writes", "synchronous_commit"])
def test_postgresql_with_a_safety_setting_off_is_named(name):
    (sentence,) = unsafe(SOUND_PG | {name: "off"})

    assert name in sentence


@pytest.mark.parametrize("word", ["on", "remote_apply", "remote_write", "local"])
def test_postgresql_with_its_defaults_or_stronger_is_accepted(word):
    assert unsafe(SOUND_PG | {"synchronous_commit": word}) == []


def test_a_library_with_the_log_reset_fault_gets_the_rollback_journal():
    # sqlite.org/wal.html, "WAL-reset bug": present from 3.7.0, fixed in 3.51.3.
    assert "DELETE" in sqlite_pragmas((3, 51, 2))
    assert "EXTRA" in sqlite_pragmas((3, 51, 2))


def test_a_sound_library_gets_the_write_ahead_log_with_full_flushes():
    assert "WAL" in sqlite_pragmas((3, 51, 3))
    assert "FULL" in sqlite_pragmas((3, 51, 3))


@pytest.mark.django_db
def test_the_database_itself_is_asked():
    found = durability()

    assert {"synchronous", "synchronous_commit"} & set(found)
