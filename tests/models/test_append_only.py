"""Entries, revisions and screenings are never changed nor removed, whoever asks the database."""

import pytest
from django.db import DatabaseError, connection, transaction

from homeprogram.models import Entry, Revision, Screening
from tests.entries import BOUT
from tests.support.pushes import push_at


@pytest.fixture
def entry(phone, revision, now) -> Entry:
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    push_at(phone, now, phone.entry("bout", BOUT, **program))
    return Entry.objects.get()


def refused(action) -> None:
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        action()


@pytest.mark.parametrize(
    "values", [{"payload": {}}, {"raw": ""}, {"for_date": "2030-03-06"}, {"number": 2}], ids=str
)
def test_an_entry_cannot_be_changed(entry, values):
    before = Entry.objects.values().get()

    refused(lambda: Entry.objects.update(**values))

    assert Entry.objects.values().get() == before


def test_an_entry_cannot_be_saved_again(entry):
    entry.sha256 = "0" * 64

    refused(entry.save)


def test_an_entry_cannot_be_removed(entry):
    refused(lambda: sql("DELETE FROM homeprogram_entry"))

    assert Entry.objects.count() == 1


def test_a_revision_cannot_be_changed(revision):
    refused(lambda: Revision.objects.update(bouts_per_day=2))

    assert Revision.objects.get().bouts_per_day == 1


def test_a_revision_cannot_be_removed(revision):
    refused(lambda: sql("DELETE FROM homeprogram_revision"))

    assert Revision.objects.count() == 1


def test_a_screening_is_followed_by_another_not_changed(episode, clinician, now):
    before = Screening.objects.values().get()

    refused(lambda: Screening.objects.update(outcome="do_not_use"))
    refused(lambda: sql("DELETE FROM homeprogram_screening"))

    assert Screening.objects.values().get() == before


def test_an_entry_written_over_another_is_refused(entry):
    copy = Entry.objects.values().get()
    columns = ", ".join(f'"{name}"' for name in copy)

    refused(
        lambda: sql(
            f"INSERT INTO homeprogram_entry ({columns}) SELECT {columns} FROM homeprogram_entry "
            "WHERE true ON CONFLICT (id) DO UPDATE SET raw = 'other'"
        )
    )


def sql(statement: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement)
