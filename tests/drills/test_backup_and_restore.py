"""The drill: copy, lose, restore, and find everything the copy held, on both databases."""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.support.cluster import Cluster
from tests.support.drilled import migrated_cluster
from tests.support.live import LiveServer

COUNT = """
import django; django.setup()
import json
from homeprogram.models import Entry, LogIdentity, Patient
print(json.dumps({
    "patients": Patient.objects.count(),
    "entries": sorted(str(e) for e in Entry.objects.values_list("entry_id", flat=True)),
    "identity": str(LogIdentity.objects.get().identity),
}))
"""


@pytest.fixture(params=["sqlite", "postgresql"])
def clinic_server(request, tmp_path: Path):
    if request.param == "sqlite":
        yield LiveServer(tmp_path / "clinic")
        return
    with postgresql() as url:
        yield LiveServer(tmp_path / "clinic", DATABASE_URL=url)


@contextmanager
def postgresql() -> Iterator[str]:
    cluster = Cluster()
    try:
        yield cluster.create(migrated_cluster()).url
    finally:
        cluster.remove()


def record_of(server: LiveServer) -> dict:
    return json.loads(server.python("-c", COUNT))


def test_a_restored_record_holds_what_the_copy_held_under_a_new_name(clinic_server, tmp_path):
    clinic_server.seed("one_logged_week")
    copied = record_of(clinic_server)
    clinic_server.manage("backup", str(tmp_path / "copy"))
    clinic_server.seed("another_logged_week")
    lost = record_of(clinic_server)

    clinic_server.manage("restore", str(tmp_path / "copy"), "--yes")

    restored = record_of(clinic_server)
    assert len(copied["entries"]) == 7
    assert len(lost["entries"]) == 14
    assert restored["entries"] == copied["entries"]
    assert restored["patients"] == copied["patients"]
    assert restored["identity"] != copied["identity"]


def test_a_restore_without_a_yes_changes_nothing(clinic_server, tmp_path):
    before = record_of(clinic_server)

    with pytest.raises(AssertionError, match="Stop the web processes"):
        clinic_server.manage("restore", str(tmp_path / "copy"))

    assert record_of(clinic_server) == before


def test_a_damaged_copy_is_refused_and_the_record_stays(tmp_path):
    server = LiveServer(tmp_path / "clinic")
    before = record_of(server)
    (tmp_path / "copy").write_bytes(b"this is no database, whatever its name says" * 40)

    with pytest.raises(AssertionError, match="no copy of a record"):
        server.manage("restore", str(tmp_path / "copy"), "--yes")

    assert record_of(server) == before


def test_a_postgresql_copy_cut_in_half_is_refused_and_the_record_stays(tmp_path):
    with postgresql() as url:
        server = LiveServer(tmp_path / "clinic", DATABASE_URL=url)
        server.seed("one_logged_week")
        before = record_of(server)
        server.manage("backup", str(tmp_path / "whole"))
        half = (tmp_path / "whole").read_bytes()
        # Its table of contents stands at the front and is whole.
        (tmp_path / "half").write_bytes(half[: len(half) * 2 // 3])

        with pytest.raises(AssertionError, match="no copy of a record"):
            server.manage("restore", str(tmp_path / "half"), "--yes")

        assert record_of(server) == before


def test_a_backup_never_overwrites_a_file(tmp_path):
    server = LiveServer(tmp_path / "clinic")
    (tmp_path / "copy").write_text("last week's copy")

    with pytest.raises(AssertionError, match="Name a new file"):
        server.manage("backup", str(tmp_path / "copy"))

    assert (tmp_path / "copy").read_text() == "last week's copy"


def test_the_copy_of_an_sqlite_record_is_a_sound_database(tmp_path):
    server = LiveServer(tmp_path / "clinic")
    server.seed("one_logged_week")

    server.manage("backup", str(tmp_path / "copy"))

    copy = sqlite3.connect(tmp_path / "copy")
    assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert copy.execute("SELECT count(*) FROM homeprogram_entry").fetchone() == (7,)
    copy.close()
