"""Serves the demo from this process: gunicorn, or waitress where there is no fork."""

import socket
import sys
import time
import urllib.request
from collections.abc import Callable
from http import HTTPStatus
from threading import Event, Thread

from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections, connections

from clinician.services.clock import clock_round

HOST = "127.0.0.1"
THREADS = 8
PORTS_TRIED = 50
CLOCK_EVERY_S = 60
BACKLOG = 128


def free_port(wanted: int) -> socket.socket:
    """A socket bound to the wanted port, or to the next one that is free."""
    for port in range(wanted, min(wanted + PORTS_TRIED, 65_536)):
        bound = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if sys.platform != "win32":  # there the option would let two servers share a port
            bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            bound.bind((HOST, port))
            bound.listen(BACKLOG)
        except OSError:
            bound.close()
        else:
            return bound
    raise OSError(f"No port from {wanted} to {wanted + PORTS_TRIED - 1} is free.")


def serve(bound: socket.socket, announce: Callable[[], None]) -> None:
    """Until interrupted. `announce` is called once, when /healthz has answered."""
    connections.close_all()
    if sys.platform == "win32":
        _waitress(bound, announce)
    else:
        _gunicorn(bound, announce)


def _beside(port: int, announce: Callable[[], None]) -> None:
    """What runs beside the server and ends with it."""
    health = f"http://{HOST}:{port}/healthz"
    Thread(target=_announce_when_up, args=(health, announce), daemon=True).start()
    Thread(target=_clock, args=(f"http://{HOST}:{port}",), daemon=True).start()


def _announce_when_up(health: str, announce: Callable[[], None]) -> None:
    while not _answers(health):
        time.sleep(0.05)
    announce()


def _answers(url: str) -> bool:
    try:
        with urllib.request.urlopen(url, timeout=5) as answer:  # noqa: S310  our own loopback
            return answer.status == HTTPStatus.OK
    except OSError:
        return False


def _clock(site: str) -> None:
    """The jobs that a real clinic gives a process of their own."""
    pause = Event()
    while True:
        ran = clock_round(site=site)
        close_old_connections()
        if not any(one.more for one in ran):
            pause.wait(CLOCK_EVERY_S)


def _gunicorn(bound: socket.socket, announce: Callable[[], None]) -> None:
    from gunicorn.app.base import BaseApplication  # noqa: PLC0415  not on Windows

    port = bound.getsockname()[1]  # gunicorn takes the socket over

    def begin(worker: object) -> None:
        # Threads start in the worker: a fork would not carry them over. A
        # worker that stands in for one that died has been announced already.
        _beside(port, announce if worker.age == 1 else lambda: None)

    settings = {
        "bind": f"fd://{bound.fileno()}",
        "worker_class": "gthread",
        "workers": 1,
        "threads": THREADS,
        "graceful_timeout": 3,
        "loglevel": "warning",
        "post_worker_init": begin,
        "control_socket_disable": True,
    }

    class Application(BaseApplication):
        def load_config(self) -> None:
            for name, value in settings.items():
                if name in self.cfg.settings:  # older versions know fewer
                    self.cfg.set(name, value)

        def load(self) -> Callable:
            return get_wsgi_application()

    Application().run()


def _waitress(bound: socket.socket, announce: Callable[[], None]) -> None:
    from waitress import create_server  # noqa: PLC0415  only on Windows

    server = create_server(get_wsgi_application(), sockets=[bound], threads=THREADS)
    _beside(bound.getsockname()[1], announce)
    try:
        server.run()
    finally:
        server.close()
