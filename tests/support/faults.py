"""Real faults of the database: a table that refuses rows, for as long as a block lasts."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection

POSTGRESQL = """CREATE TRIGGER test_fault BEFORE INSERT ON {table} FOR EACH ROW WHEN ({when})
EXECUTE FUNCTION boutwise_append_only()"""
SQLITE = """CREATE TRIGGER test_fault BEFORE INSERT ON {table} WHEN {when}
BEGIN SELECT RAISE(ABORT, 'a fault made by a test'); END"""
DROP = {
    "postgresql": "DROP TRIGGER test_fault ON {table}",
    "sqlite": "DROP TRIGGER test_fault",
}


@contextmanager
def refused(table: str, when: str = "1 = 1") -> Iterator[None]:
    """Rows of `table` for which the SQL condition `when` holds cannot be inserted."""
    create = POSTGRESQL if connection.vendor == "postgresql" else SQLITE
    _execute(create.format(table=table, when=when))
    try:
        yield
    finally:
        _execute(DROP[connection.vendor].format(table=table))


def _execute(statement: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement)
