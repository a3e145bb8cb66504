"""`manage.py demo`: an invented clinic on this machine, from nothing to served."""

import json
import sys
from argparse import ArgumentParser
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection, connections
from django.urls import reverse
from django.utils import timezone

from clinician.demo.load import Loaded, demo_load
from clinician.demo.screen import facts, screen
from clinician.demo.serve import HOST, free_port, serve
from clinician.demo.zone import zone_here
from homeprogram.management.progress import Bar


class Command(BaseCommand):
    help = "Loads an invented clinic, relative to today, and serves it on this machine only."
    requires_system_checks: list = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000, help="8000, or the next free one")
        parser.add_argument(
            "--json",
            action="store_true",
            help="first line of stdout: one JSON object with addresses, sign-in and codes",
        )
        parser.add_argument("--no-serve", action="store_true", help="load only")

    def handle(self, *args: object, **options: object) -> None:
        if not settings.DEMO or connection.vendor != "sqlite":
            raise CommandError("Start it as `manage.py demo`, which keeps it off a real clinic.")
        loaded = self._load()
        self._say("Collecting static files ...")
        call_command("collectstatic", interactive=False, clear=True, verbosity=0)
        if options["no_serve"]:
            self._say(f"Loaded into {settings.VAR}.")
            return
        self._serve(loaded, options["port"], as_json=options["json"])

    def _load(self) -> Loaded:
        database_remove()
        self._say("Making the database ...")
        call_command("migrate", interactive=False, verbosity=0)
        self._say("Loading the demo clinic ...")
        bar = Bar(self.stderr, "patients")
        return demo_load(now=timezone.now(), zone=zone_here(), progress=bar.show)

    def _serve(self, loaded: Loaded, wanted: int, *, as_json: bool) -> None:
        try:
            bound = free_port(wanted)
        except OSError as error:
            raise CommandError(str(error)) from error
        port = bound.getsockname()[1]
        if port != wanted:
            self._say(f"Port {wanted} is taken; using {port}.")
        url, sign_in = f"http://{HOST}:{port}", reverse("account_login")
        text = json.dumps(facts(loaded, url, sign_in)) if as_json else screen(loaded, url, sign_in)
        serve(bound, lambda: print(text, flush=True))

    def _say(self, line: str) -> None:
        # All but the promised line goes to stderr.
        print(line, file=sys.stderr, flush=True)


def database_remove() -> None:
    """The demo is relative to today, so each start makes it anew."""
    connections.close_all()
    path = Path(connection.settings_dict["NAME"])
    for ending in ("", "-journal", "-wal", "-shm"):
        path.with_name(path.name + ending).unlink(missing_ok=True)
