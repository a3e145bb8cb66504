"""Many tables in one operation.

Django renders anew, for each table that an operation adds, every model that is related to
it. Here all are related: one operation for all of them takes a fraction of the time.
"""

from django.db.migrations.operations import CreateModel
from django.db.migrations.operations.base import Operation


class CreateTables(Operation):
    def __init__(self, *tables: CreateModel) -> None:
        self.tables = tables

    def deconstruct(self) -> tuple:
        return (type(self).__name__, list(self.tables), {})

    def state_forwards(self, app_label, state) -> None:
        state.__dict__.pop("apps", None)  # rendered once, when all are known
        for table in self.tables:
            table.state_forwards(app_label, state)

    def database_forwards(self, app_label, schema_editor, from_state, to_state) -> None:
        for table in self.tables:
            table.database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(self, app_label, schema_editor, from_state, to_state) -> None:
        for table in reversed(self.tables):
            table.database_backwards(app_label, schema_editor, from_state, to_state)

    def describe(self) -> str:
        return "Create " + ", ".join(table.name for table in self.tables)
