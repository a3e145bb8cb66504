"""Whether the database under us keeps what it acknowledged. Read back, not assumed."""

from collections.abc import Callable

from django.core import checks
from django.db import DatabaseError, connection

# What each PostgreSQL setting must not say: acknowledged entries would be lost.
UNSAFE = {
    "fsync": {"off"},
    "full_page_writes": {"off"},
    "synchronous_commit": {"off"},
}
SYNCHRONOUS = {0: "OFF", 1: "NORMAL", 2: "FULL", 3: "EXTRA"}


def durability() -> dict[str, str]:
    """The settings that decide durability, as the database itself reports them."""
    return _postgresql() if connection.vendor == "postgresql" else _sqlite()


def _postgresql() -> dict[str, str]:
    return {name: _ask(f"SHOW {name}") for name in (*UNSAFE, "data_checksums", "server_version")}


def _sqlite() -> dict[str, str]:
    return {
        "journal_mode": _ask("PRAGMA journal_mode").upper(),
        "synchronous": SYNCHRONOUS[int(_ask("PRAGMA synchronous"))],
        "foreign_keys": "ON" if int(_ask("PRAGMA foreign_keys")) else "OFF",
        "sqlite_version": _ask("SELECT sqlite_version()"),
    }


def _ask(question: str) -> str:
    with connection.cursor() as cursor:
        cursor.execute(question)
        return str(cursor.fetchone()[0])


def unsafe(found: dict[str, str]) -> list[str]:
    """A sentence for each setting under which an acknowledged entry could be lost."""
    if "synchronous" in found:
        wanted = {"WAL": {"FULL", "EXTRA"}, "DELETE": {"EXTRA", "FULL"}}
        if found["synchronous"] in wanted.get(found["journal_mode"], set()):
            return []
        return [f"SQLite runs {found['journal_mode']} with synchronous {found['synchronous']}."]
    return [
        f"PostgreSQL runs with {name} = {found[name]}."
        for name, words in UNSAFE.items()
        if found[name] in words
    ]


@checks.register(checks.Tags.database)
def durability_check(
    databases: list[str] | None = None, **_: Callable
) -> list[checks.CheckMessage]:
    """`manage.py check --database default` and every migrate refuse an unsafe database."""
    if not databases:
        return []
    try:
        found = durability()
    except DatabaseError:
        return [checks.Warning("The database does not answer.", id="boutwise.W001")]
    return [
        checks.Error(sentence, hint="Acknowledged entries could be lost.", id="boutwise.E001")
        for sentence in unsafe(found)
    ]
