"""Triggers that keep append-only tables append-only, on both databases."""

from django.db import migrations

REFUSAL = "this table is append-only"

POSTGRESQL = """
CREATE OR REPLACE FUNCTION boutwise_append_only() RETURNS trigger AS $$
BEGIN RAISE EXCEPTION '{refusal}'; END $$ LANGUAGE plpgsql;
CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE ON {table}
FOR EACH ROW EXECUTE FUNCTION boutwise_append_only();
"""
SQLITE = """
CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, '{refusal}'); END
---
CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, '{refusal}'); END
"""


def append_only(*tables: str) -> migrations.RunPython:
    """An operation that forbids UPDATE and DELETE of the tables' rows."""

    def forbid(apps: object, schema_editor: object) -> None:
        on_postgresql = schema_editor.connection.vendor == "postgresql"
        for statement in [POSTGRESQL] if on_postgresql else SQLITE.split("---"):
            for table in tables:
                schema_editor.execute(statement.format(table=table, refusal=REFUSAL), params=None)

    def allow(apps: object, schema_editor: object) -> None:
        for table in tables:
            if schema_editor.connection.vendor == "postgresql":
                schema_editor.execute(f"DROP TRIGGER {table}_append_only ON {table}")
                continue
            schema_editor.execute(f"DROP TRIGGER {table}_no_update")
            schema_editor.execute(f"DROP TRIGGER {table}_no_delete")

    return migrations.RunPython(forbid, allow)
