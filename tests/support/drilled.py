"""Servers for drills: a real gunicorn over either database, and the phones of its clinic."""

import json
import shutil
from collections.abc import Iterable
from contextlib import ExitStack
from functools import cache
from pathlib import Path
from urllib.parse import quote

from tests.support.cluster import Cluster
from tests.support.live import LiveServer, once_a_run
from tests.support.scripted_phone import ScriptedPhone

DATABASES = ["sqlite", "postgresql"]
PAIRED = "paired.json"
BAKED = 12  # phones that every drilled server has from its start


class DrilledServer(LiveServer):
    """Over a copy of a record that was made once a test run; `cluster` when on PostgreSQL."""

    cluster: Cluster | None = None

    def __init__(self, folder: Path, **environment: str) -> None:
        super().__init__(folder, **environment)
        self.paired: list[dict] = []

    def lie_on(self, cluster: Cluster, **settings: object) -> None:
        """From the next start on; `settings` hold for every session of this server."""
        self.cluster = cluster
        self.environment["DATABASE_URL"] = url_with(cluster, **settings)


def drilled(
    keep: ExitStack, database: str, folder: Path, *, workers: int = 1, **options: object
) -> DrilledServer:
    """A server that is not started yet; `options` are the database's, for this server alone."""
    server = DrilledServer(folder, WEB_CONCURRENCY=str(workers))
    if database == "postgresql":
        data, paired = _peopled_cluster()
        cluster = Cluster()
        keep.callback(cluster.remove)
        server.lie_on(cluster.create(data), **options)
    else:
        file, paired = _peopled_file()
        shutil.copy(file, folder)
        if options:
            server.environment["DJANGO_SETTINGS_MODULE"] = "tests.support.other_settings"
            server.environment["BOUTWISE_TEST_SQLITE"] = json.dumps(options)
    server.paired = list(paired)
    keep.callback(server.stop, kill=True)
    return server


@cache
def _peopled_file() -> tuple[Path, list[dict]]:
    def people(folder: Path) -> None:
        (folder / PAIRED).write_text(json.dumps(_fleet(LiveServer(folder), BAKED)))

    folder = once_a_run("peopled-file", people)
    return folder / "demo.sqlite3", json.loads((folder / PAIRED).read_text())


@cache
def _peopled_cluster() -> tuple[Path, list[dict]]:
    def people(folder: Path) -> None:
        cluster = Cluster().create(migrated_cluster())
        server = LiveServer(folder, DATABASE_URL=cluster.url)
        (folder / PAIRED).write_text(json.dumps(_fleet(server, BAKED)))
        _keep(cluster, folder)

    folder = once_a_run("peopled-cluster", people)
    return folder / "data", json.loads((folder / PAIRED).read_text())


@cache
def migrated_cluster() -> Path:
    """The data of a PostgreSQL with an empty record, made once a test run."""

    def migrate(folder: Path) -> None:
        cluster = Cluster().create()
        LiveServer(folder, DATABASE_URL=cluster.url)
        _keep(cluster, folder)

    return once_a_run("migrated-cluster", migrate) / "data"


def _keep(cluster: Cluster, folder: Path) -> None:
    cluster.stop()
    shutil.move(cluster.data, folder / "data")
    cluster.remove()


def url_with(cluster: Cluster, **settings: object) -> str:
    """The cluster's address with settings for every session of it."""
    words = " ".join(f"-c {name}={value}" for name, value in settings.items())
    return cluster.url + (f"&options={quote(words)}" if words else "")


def phones_of(server: DrilledServer, count: int) -> list[ScriptedPhone]:
    """Paired phones that nobody used yet, each of a patient of its own."""
    taken, server.paired = server.paired[:count], server.paired[count:]
    if missing := count - len(taken):
        taken += _fleet(server, missing)
    return [ScriptedPhone(server.url, **one) for one in taken]


def _fleet(server: LiveServer, count: int) -> list[dict]:
    return json.loads(server.python("-m", "tests.support.fleet", str(count)))


def settle(phones: Iterable[ScriptedPhone], rounds: int = 2) -> list[str]:
    """The state of each phone after at most `rounds` undisturbed rounds."""
    return [_settled(phone, rounds) for phone in phones]


def _settled(phone: ScriptedPhone, rounds: int) -> str:
    for _ in range(rounds):
        state = phone.round()
        if state == "settled":
            break
    return state
