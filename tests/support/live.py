"""The real server on loopback, with its own folder, that can be stopped, killed and restarted."""

import fcntl
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
START_S = 30
SHARED_S = 240
SAID = "said.json"


def _managed(folder: Path, *arguments: str) -> None:
    environment = os.environ | {"BOUTWISE_MODE": "demo", "BOUTWISE_VAR": str(folder)}
    environment.pop("DATABASE_URL", None)
    command = [sys.executable, "manage.py", *arguments, "--verbosity", "0"]
    subprocess.run(command, cwd=ROOT, env=environment, check=True)


def once_a_run(name: str, make: Callable[[Path], None]) -> Path:
    """A folder that the first worker to need it makes for all workers of this run."""
    run = os.environ.get("PYTEST_XDIST_TESTRUNUID") or f"alone-{os.getpid()}"
    folder = Path(tempfile.gettempdir()) / f"boutwise-{run}" / name
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (folder / "made").exists():
            make(folder / "it")
            (folder / "made").touch()
    return folder / "it"


@cache
def migrated_folder() -> Path:
    """An empty record, made once a test run and copied for each server."""
    return once_a_run("empty", lambda folder: _managed(folder, "migrate", "--skip-checks"))


@cache
def collected_static() -> Path:
    """Hashed static files, collected once a test run."""
    collect = ("collectstatic", "--no-input")
    return once_a_run("static", lambda folder: _managed(folder, *collect)) / "static"


def told_folder(stories: str, story: str) -> tuple[Path, str]:
    """A record in which one story was told, and what the story said.

    It is shared for a few minutes only: its pairing codes last for ten.
    """

    def tell(folder: Path) -> None:
        shutil.copytree(migrated_folder(), folder)
        server = LiveServer.__new__(LiveServer)
        server.environment = _environment(folder)
        (folder / SAID).write_text(server.python("-m", stories, story))

    folder = once_a_run(f"told-{stories}-{story}-{int(time.time() // SHARED_S)}", tell)
    return folder, (folder / SAID).read_text()


def _environment(folder: Path) -> dict[str, str]:
    return os.environ | {
        "BOUTWISE_MODE": "demo",
        "BOUTWISE_VAR": str(folder),
        "DJANGO_SETTINGS_MODULE": "project.settings",
    }


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class LiveServer:
    """gunicorn over hashed static files, as a clinic would run it; demo mode for plain http."""

    def __init__(self, folder: Path, **environment: str) -> None:
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.folder = folder
        self.environment = _environment(folder) | environment
        self.process: subprocess.Popen | None = None
        if "DATABASE_URL" in environment:
            folder.mkdir(parents=True, exist_ok=True)
            self.manage("migrate", "--skip-checks", "--verbosity", "0")
        else:
            shutil.copytree(migrated_folder(), folder)
        self._like_others = not environment  # then others' record will do, until it is used

    def begin_anew(self) -> None:
        """Running, with an empty record: no connection to the last one outlives its request."""
        for file in self.folder.glob("*.sqlite3*"):
            file.unlink()
        shutil.copytree(migrated_folder(), self.folder, dirs_exist_ok=True)
        self._like_others = True
        if self.process is None:
            self.start()

    def manage(self, *arguments: str) -> str:
        return self.python("manage.py", *arguments)

    def seed(self, story: str, *, stories: str = "tests.support.stories") -> dict:
        """Run one function of a module of stories on this server's record."""
        if not self._like_others:
            return json.loads(self.python("-m", stories, story))
        folder, said = told_folder(stories, story)
        shutil.copytree(folder, self.folder, dirs_exist_ok=True)
        self._like_others = False
        return json.loads(said)

    def python(self, *arguments: str) -> str:
        self._like_others = False
        done = subprocess.run(
            [sys.executable, *arguments],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr[-3000:]
        return done.stdout

    def start(self) -> None:
        shutil.copytree(collected_static(), self.folder / "static", dirs_exist_ok=True)
        until = time.monotonic() + START_S
        while time.monotonic() < until:
            self._launch()
            if self._answers(until):
                return
            # It gave up, because workers of one that was killed hold its port until they
            # notice: a service manager starts the next.
        raise AssertionError((self.folder / "server.log").read_text()[-3000:])

    def _launch(self) -> None:
        command = [sys.executable, "-m", "gunicorn", "project.wsgi", "--threads", "4"]
        with (self.folder / "server.log").open("a") as log:
            self.process = subprocess.Popen(
                [*command, "--bind", f"127.0.0.1:{self.port}", "--no-control-socket"],
                cwd=ROOT,
                env=self.environment,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )

    def _answers(self, until: float) -> bool:
        """Whether this one, and no worker of one before it, answers before it ends."""
        listens = f"Listening at: {self.url} ({self.process.pid})"
        while time.monotonic() < until and self.process.poll() is None:
            try:
                with urllib.request.urlopen(f"{self.url}/healthz", timeout=1) as answer:
                    said = (self.folder / "server.log").read_text(errors="replace")
                    if answer.status == 200 and listens in said:
                        return True
            except OSError:
                pass
            time.sleep(0.1)
        return False

    def stop(self, *, kill: bool = False) -> None:
        if self.process is None:
            return
        os.killpg(self.process.pid, signal.SIGKILL if kill else signal.SIGTERM)
        self.process.wait(timeout=20)
        self.process = None
