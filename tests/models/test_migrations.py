from importlib import import_module

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import connection

from homeprogram.models import Change, LogIdentity, Patient
from homeprogram.selectors.record import log_identity
from tests.conftest import make_program


def migrate(name: str) -> None:
    call_command("migrate", "homeprogram", name, verbosity=0, interactive=False)


def test_no_migration_is_missing(db):
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_every_migration_names_its_way_back():
    from django.db.migrations.loader import MigrationLoader

    migrations = MigrationLoader(None).disk_migrations
    one_way = [
        f"{key}: {operation}"
        for key, migration in migrations.items()
        if key[0] in {"homeprogram", "clinician"}
        for operation in migration.operations
        if not operation.reversible
    ]

    assert one_way == []


@pytest.fixture
def forward_again(django_db_setup, django_db_blocker):
    """Outside a transaction: SQLite cannot alter tables inside one. Nothing is in them."""
    with django_db_blocker.unblock():
        yield
        call_command("migrate", verbosity=0, interactive=False)


def test_the_append_only_triggers_can_be_taken_off_and_put_on(forward_again):
    before = log_identity()

    migrate("0001")
    off = triggers()
    migrate("0002")

    assert off == set()
    assert triggers() == {"homeprogram_entry", "homeprogram_revision"}
    assert log_identity() == before
    assert LogIdentity.objects.count() == 1


def test_after_every_migration_the_triggers_are_still_there(db):
    """SQLite forgets a table's triggers when a later migration alters the table."""
    assert triggers() == {
        "clinician_addendum",
        "clinician_contact",
        "clinician_counterreading",
        "clinician_discharge",
        "clinician_incident",
        "clinician_incidentclosing",
        "clinician_incidentsupplement",
        "clinician_review",
        "clinician_signednote",
        "clinician_stimulatorevent",
        "homeprogram_decision",
        "homeprogram_entry",
        "homeprogram_revision",
        "homeprogram_screening",
        "homeprogram_supervisedbout",
        "homeprogram_visit",
        "homeprogram_flagevent",
        "homeprogram_settingchange",
    }


def triggers() -> set[str]:
    """Tables with an append-only trigger."""
    question = {
        "postgresql": "SELECT event_object_table FROM information_schema.triggers"
        " WHERE trigger_name LIKE '%append_only'",
        "sqlite": "SELECT tbl_name FROM sqlite_master"
        " WHERE type = 'trigger' AND sql LIKE '%append-only%'",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(question)
        return {row[0] for row in cursor.fetchall()}


def test_phones_hear_once_more_of_a_running_program_with_tempos(patient, clinician, now):
    make_program(patient, clinician, now)
    program = make_program(
        patient, clinician, now, limb="right", details={"tempos": {"quad_set": [3, 4, 2.5]}}
    ).program
    before = Patient.objects.get(id=patient.id).log_version

    import_module("homeprogram.migrations.0016_tell_tempos_again").tell_again(apps, None)

    assert Patient.objects.get(id=patient.id).log_version == before + 1
    told = Change.objects.get(patient=patient, version=before + 1)
    assert (told.type, told.object_id) == ("program", program.id)
