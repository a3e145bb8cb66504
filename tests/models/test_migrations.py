from django.apps import apps
from django.core.management import call_command
from django.db import connection

from homeprogram.migrations._append_only import append_only
from homeprogram.models import LogIdentity

APPEND_ONLY = {
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
    "homeprogram_flagevent",
    "homeprogram_revision",
    "homeprogram_screening",
    "homeprogram_settingchange",
    "homeprogram_supervisedbout",
    "homeprogram_visit",
}


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


def test_a_table_that_is_append_only_can_be_freed_and_closed_again(db):
    trigger = append_only("homeprogram_entry")
    editor = connection.schema_editor()  # not entered: the test's transaction is open already

    trigger.reverse_code(apps, editor)
    assert triggers() == APPEND_ONLY - {"homeprogram_entry"}

    trigger.code(apps, editor)
    assert triggers() == APPEND_ONLY


def test_a_new_database_has_its_log_identity(db):
    assert LogIdentity.objects.count() == 1


def test_after_every_migration_the_triggers_are_still_there(db):
    """SQLite forgets a table's triggers when a later migration alters the table."""
    assert triggers() == APPEND_ONLY


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
