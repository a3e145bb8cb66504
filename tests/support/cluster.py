"""A durable PostgreSQL of our own that can be killed with all its backends, and a standby."""

import os
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

import psycopg

from tests.support.live import free_port
from tests.support.needs import need
from tests.support.postgres import _as_user, debian_binaries

START_S = 30
OPTIONS = {"max_connections": "80", "wal_level": "replica", "max_wal_senders": "4"}


class Cluster:
    """Every safety setting at its default; only sockets of its own and loopback."""

    def __init__(self, **options: str) -> None:
        need(debian_binaries(), "PostgreSQL")
        self.binaries = debian_binaries()
        self.folder = Path(tempfile.mkdtemp(prefix="boutwise-pg-"))
        self.user = _as_user(self.folder)
        self.data = self.folder / "data"
        self.port = free_port()
        self.options = OPTIONS | options
        self.process: subprocess.Popen | None = None

    @property
    def url(self) -> str:
        return f"postgresql://boutwise@/postgres?host={self.folder}&port={self.port}"

    def create(self, like: Path | None = None) -> "Cluster":
        """A new one, or a copy of the data of one that was stopped."""
        if like:
            subprocess.run([*self.user, "cp", "-a", str(like), str(self.data)], check=True)
            return self.start()
        self._run("initdb", "-D", self.data, "-U", "boutwise", "-A", "trust", "-E", "UTF8",
                  "--no-sync", "--locale=C.UTF-8")  # fmt: skip
        return self.start()

    def start(self) -> "Cluster":
        settings = self.options | {
            "listen_addresses": "127.0.0.1",
            "port": str(self.port),
            "unix_socket_directories": str(self.folder),
        }
        told = [part for name, value in settings.items() for part in ("-c", f"{name}={value}")]
        with (self.folder / "log").open("a") as log:
            # Our own child, not pg_ctl's: killed, it leaves nothing behind with its number.
            self.process = subprocess.Popen(
                [*self.user, str(self.binaries / "postgres"), "-D", str(self.data), *told],
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        self._wait()
        return self

    def _wait(self) -> None:
        until = time.monotonic() + START_S
        while time.monotonic() < until:
            try:
                psycopg.connect(self.url, connect_timeout=2).close()
            except psycopg.OperationalError:
                time.sleep(0.05)
            else:
                return
        raise AssertionError((self.folder / "log").read_text()[-3000:])

    def ask(self, question: str) -> list[tuple]:
        with psycopg.connect(self.url, autocommit=True) as line:
            done = line.execute(question)
            return done.fetchall() if done.description else []

    def stop(self) -> None:
        self.process.send_signal(signal.SIGINT)
        self.process.wait(timeout=30)

    def kill(self) -> None:
        """SIGKILL to the postmaster and every backend, as one blow."""
        postmaster = self.process.pid
        # Stopped first, so that it cannot see its children die and tidy up.
        os.kill(postmaster, signal.SIGSTOP)
        backends = children(postmaster)
        for pid in [*backends, postmaster]:
            os.kill(pid, signal.SIGKILL)
        self.process.wait(timeout=20)
        # A restart refuses while one of them still holds the shared memory.
        while any(map(alive, backends)):
            time.sleep(0.01)

    def standby(self, through: int) -> "Cluster":
        """A streaming copy that reaches this server at port `through` of loopback."""
        copy = Cluster(**self.options)
        source = f"host=127.0.0.1 port={through} user=boutwise"
        self._run("pg_basebackup", "-D", copy.data, "-d", source, "-R", "-X", "stream",
                  "--checkpoint=fast", "--no-sync")  # fmt: skip
        return copy.start()

    def promote(self) -> None:
        self._run("pg_ctl", "-D", self.data, "-w", "promote")

    def remove(self) -> None:
        if self.process and self.process.poll() is None:
            self.kill()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, program: str, *arguments: object) -> None:
        command = [*self.user, str(self.binaries / program), *map(str, arguments)]
        done = subprocess.run(command, capture_output=True, text=True, check=False, cwd="/")
        assert done.returncode == 0, done.stderr[-2000:]


def children(pid: int) -> list[int]:
    """Processes whose parent is `pid`, as the kernel lists them."""
    text = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    return [int(word) for word in text.split()]


def alive(pid: int) -> bool:
    """Whether a process still runs; one that only waits to be counted as dead does not."""
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state not in {"Z", "X"}
