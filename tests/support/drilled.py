"""Servers for drills: a real gunicorn over either database, and the phones of its clinic."""

import json
from collections.abc import Iterable
from contextlib import ExitStack
from pathlib import Path
from urllib.parse import quote

from tests.support.cluster import Cluster
from tests.support.live import LiveServer
from tests.support.scripted_phone import ScriptedPhone

DATABASES = ["sqlite", "postgresql"]


def drilled(
    keep: ExitStack, database: str, folder: Path, *, workers: int = 1, **options: object
) -> LiveServer:
    """A server that is not started yet; `options` are the database's, for this server alone."""
    environment = {"WEB_CONCURRENCY": str(workers)}
    if database == "postgresql":
        cluster = Cluster()
        keep.callback(cluster.remove)
        cluster.create()
        environment["DATABASE_URL"] = url_with(cluster, **options)
    elif options:
        environment["DJANGO_SETTINGS_MODULE"] = "tests.support.other_settings"
        environment["BOUTWISE_TEST_SQLITE"] = json.dumps(options)
    server = LiveServer(folder, **environment)
    server.cluster = cluster if database == "postgresql" else None
    keep.callback(server.stop, kill=True)
    return server


def url_with(cluster: Cluster, **settings: object) -> str:
    """The cluster's address with settings for every session of it."""
    words = " ".join(f"-c {name}={value}" for name, value in settings.items())
    return cluster.url + (f"&options={quote(words)}" if words else "")


def phones_of(server: LiveServer, count: int) -> list[ScriptedPhone]:
    """New patients, each with a paired phone."""
    paired = json.loads(server.python("-m", "tests.support.fleet", str(count)))
    return [ScriptedPhone(server.url, **one) for one in paired]


def settle(phones: Iterable[ScriptedPhone], rounds: int = 2) -> list[str]:
    """The state of each phone after at most `rounds` undisturbed rounds."""
    return [_settled(phone, rounds) for phone in phones]


def _settled(phone: ScriptedPhone, rounds: int) -> str:
    for _ in range(rounds):
        state = phone.round()
        if state == "settled":
            break
    return state
