"""The audit finds a log that does not say what it was told; the second look takes in."""

import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from homeprogram.models import Change, Entry, HeldEntry, Patient, Phone
from tests.entries import BOUT
from tests.support.faults import refused
from tests.support.pushes import push_at


def told(command: str) -> str:
    out = StringIO()
    try:
        call_command(command, stdout=out, stderr=StringIO())
    except CommandError as error:
        return f"{out.getvalue()}{error}"
    return out.getvalue()


def bout(phone, revision, **body):
    names = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    return phone.entry("bout", BOUT, **names | body)


@pytest.fixture
def logged(phone, revision, now):
    push_at(phone, now, bout(phone, revision), bout(phone, revision), claim=True)
    return phone


def behind_the_guard(statement: str, *values) -> None:
    """What a fault of the disk would do: around the trigger that forbids it."""
    if connection.vendor == "postgresql":
        guards = ["SET LOCAL session_replication_role = replica"]
        after = ["SET LOCAL session_replication_role = DEFAULT"]
    else:
        with connection.cursor() as cursor:
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
            triggers = [row for row in cursor.fetchall() if "homeprogram_entry" in row[1]]
        guards = [f"DROP TRIGGER {name}" for name, _ in triggers]
        after = [sql for _, sql in triggers]
    with connection.cursor() as cursor:
        for guard in guards:
            cursor.execute(guard)
        cursor.execute(statement, values)
        for guard in after:
            cursor.execute(guard)


def test_a_sound_log_is_what_it_was_told(logged):
    assert told("audit") == "The log of 1 patients is what it was told.\n"


def test_one_changed_character_of_a_text_is_found(logged):
    entry = Entry.objects.first()
    raw = entry.raw.replace("quad_set", "quad_sat")
    behind_the_guard("UPDATE homeprogram_entry SET raw = %s WHERE id = %s", raw, entry.pk)

    assert re.search(r"1 damaged.*1 misread.*2 faults in the log", told("audit"), re.DOTALL)


def test_a_column_that_no_longer_says_what_the_text_says_is_found(logged):
    behind_the_guard("UPDATE homeprogram_entry SET number = 9 WHERE number = 2")

    # Its number was claimed to be here, too.
    assert re.search(r"1 misread.*1 absent", told("audit"), re.DOTALL)


def test_an_entry_that_went_missing_is_found_by_its_number(logged):
    entry = Entry.objects.get(number=2)
    entry.bout.delete()
    behind_the_guard("DELETE FROM homeprogram_entry WHERE id = %s", entry.pk)

    assert "1 absent" in told("audit")


def test_a_version_without_its_change_is_found(logged):
    Change.objects.filter(type="entry").first().delete()

    assert "untold" in told("audit")


def test_a_counter_that_ran_ahead_is_found(logged):
    Patient.objects.update(log_version=99)

    assert "untold" in told("audit")


def test_a_number_that_a_loss_names_is_not_absent(logged, revision, now):
    push_at(logged, now, bout(logged, revision, number=4))
    push_at(logged, now, claim=True, lost=[3])

    assert Phone.objects.get(id=logged.id).claimed_to == 4
    assert "is what it was told" in told("audit")


def test_the_command_takes_in_what_can_be_used_now(phone, revision, now):
    with refused("homeprogram_entry"):
        push_at(phone, now, bout(phone, revision))

    assert told("held_look_again") == "Took 1 held entries into the log.\n"
    assert HeldEntry.objects.filter(settled_at=None).count() == 0


def test_a_clock_that_starts_looks_again_at_what_was_held(phone, revision, now):
    with refused("homeprogram_entry"):
        push_at(phone, now, bout(phone, revision))
    out = StringIO()

    call_command("clock", "--once", stdout=out, stderr=StringIO())

    assert "Took 1 held entries into the log." in out.getvalue()
