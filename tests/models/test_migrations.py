import pytest
from django.core.management import call_command
from django.db import connection

from homeprogram.models import LogIdentity
from homeprogram.selectors.record import log_identity


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
