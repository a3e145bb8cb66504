"""Settings that lose acknowledged entries are refused, on both databases."""

from pathlib import Path

import pytest

from project.database import sqlite_pragmas
from project.durability import durability, file_system_of, unsafe

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


MOUNTS = r"""/dev/sda1 / ext4 rw 0 0
server:/share /srv nfs4 rw 0 0
/dev/sdb1 /srv/own\040disk xfs rw 0 0
tmpfs /srvother tmpfs rw 0 0
/dev/sdc1 /var ext4 rw 0 0
//server/share /var cifs rw 0 0
"""


@pytest.mark.parametrize(
    ("file", "kind"),
    [
        ("/home/clinic/record.sqlite3", "ext4"),
        ("/srv/clinic/record.sqlite3", "nfs4"),
        ("/srv/own disk/record.sqlite3", "xfs"),
        ("/srvother/record.sqlite3", "tmpfs"),
        ("/var/record.sqlite3", "cifs"),
    ],
)
def test_the_nearest_mount_tells_the_file_system_and_the_later_one_hides(file, kind):
    assert file_system_of(Path(file), MOUNTS) == kind


def test_without_a_list_of_mounts_nothing_is_known():
    assert file_system_of(Path("/srv/record.sqlite3"), "") == ""


@pytest.mark.parametrize(("kind", "faults"), [("ext4", 0), ("", 0), ("nfs4", 1), ("cifs", 1)])
def test_a_record_on_a_network_file_system_is_refused(kind, faults):
    found = {"journal_mode": "WAL", "synchronous": "FULL", "file_system": kind}

    assert len(unsafe(found)) == faults
