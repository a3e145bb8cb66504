from django.core.management.commands.createcachetable import Command
from django.db import migrations

TABLE = "homeprogram_throttle"


def create(apps: object, schema_editor: object) -> None:
    """The table of Django's database cache, made here so that `migrate` is enough."""
    command = Command()
    command.verbosity = 0
    command.create_table(schema_editor.connection.alias, TABLE, dry_run=False)


def drop(apps: object, schema_editor: object) -> None:
    schema_editor.execute(f"DROP TABLE {TABLE}")


class Migration(migrations.Migration):
    dependencies = [("homeprogram", "0004_consent_helper")]
    operations = [migrations.RunPython(create, drop)]
