"""Whether the database under us keeps what it acknowledged. Read back, not assumed."""

from collections.abc import Callable, Iterator
from pathlib import Path

from django.core import checks
from django.db import DatabaseError, connection

# What each PostgreSQL setting must not say: acknowledged entries would be lost.
UNSAFE = {
    "fsync": {"off"},
    "full_page_writes": {"off"},
    "synchronous_commit": {"off"},
}
SYNCHRONOUS = {0: "OFF", 1: "NORMAL", 2: "FULL", 3: "EXTRA"}
# SQLite's locks do not hold on these, and a flush may end at another machine's memory.
NETWORK = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "fuse.sshfs", "ceph", "glusterfs"}
MOUNTS = Path("/proc/mounts")  # Linux only; elsewhere the file system is not known


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
        "file_system": _file_system(),
    }


def _file_system() -> str:
    """What the record's file lies on; empty for a record in memory and where nobody can tell."""
    file = _ask("SELECT coalesce(max(file), '') FROM pragma_database_list WHERE name = 'main'")
    mounts = MOUNTS.read_text() if MOUNTS.exists() else ""
    return file_system_of(Path(file), mounts) if file else ""


def file_system_of(file: Path, mounts: str) -> str:
    """The type of the mount a file lies on; `mounts` as in /proc/mounts, the later one hides."""
    found = ""
    depth = -1
    for line in mounts.splitlines():
        _, point, kind, *_ = line.split(" ")
        # Odd characters stand there in octal: a blank is \040.
        place = Path(point.encode().decode("unicode_escape"))
        if file.is_relative_to(place) and len(place.parts) >= depth:
            found, depth = kind, len(place.parts)
    return found


def _ask(question: str) -> str:
    with connection.cursor() as cursor:
        cursor.execute(question)
        return str(cursor.fetchone()[0])


def unsafe(found: dict[str, str]) -> list[str]:
    """A sentence for each setting under which an acknowledged entry could be lost."""
    if "synchronous" in found:
        return list(_unsafe_sqlite(found))
    return [
        f"PostgreSQL runs with {name} = {found[name]}."
        for name, words in UNSAFE.items()
        if found[name] in words
    ]


def _unsafe_sqlite(found: dict[str, str]) -> Iterator[str]:
    wanted = {"WAL": {"FULL", "EXTRA"}, "DELETE": {"EXTRA", "FULL"}}
    if found["synchronous"] not in wanted.get(found["journal_mode"], set()):
        yield f"SQLite runs {found['journal_mode']} with synchronous {found['synchronous']}."
    if found.get("file_system") in NETWORK:
        yield f"SQLite's file lies on a network file system ({found['file_system']})."


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
