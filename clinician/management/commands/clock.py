"""`manage.py clock`: flags, reminders and mail of every clinic, once or for ever."""

import signal
from argparse import ArgumentParser
from threading import Event

from django.core.management.base import BaseCommand, CommandError
from django.db import close_old_connections
from django.utils import timezone

from clinician.services.clock import Ran, clock_round
from homeprogram.management.progress import Bar
from homeprogram.services.custody import held_look_again


class Command(BaseCommand):
    help = (
        "Opens and clears the flags that come from silence, sends reminders and the mail to "
        "clinicians. Several copies may run: what one has taken, no other does again."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        how = parser.add_mutually_exclusive_group(required=True)
        once = "until nothing is due; exits 1 if one failed"
        how.add_argument("--once", action="store_true", help=once)
        how.add_argument("--loop", action="store_true", help="until stopped")
        parser.add_argument("--every", type=int, default=60, help="seconds between rounds (60)")

    def handle(self, *args: object, **options: object) -> None:
        if options["every"] < 1:
            raise CommandError("--every takes 1 second or more.")
        self._look_again()
        if options["once"]:
            if self._once(options["every"]):
                raise CommandError("Some could not be evaluated or sent; see the log.")
            return
        stop = Event()
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, lambda *_: stop.set())
        while not stop.is_set():
            close_old_connections()  # a database that went away is asked anew
            ran = self._round(options["every"])
            if not any(one.more for one in ran):
                stop.wait(options["every"])

    def _look_again(self) -> None:
        """A clock that starts may be a newer program: it may understand what was held."""
        taken = held_look_again(now=timezone.now())
        if taken:
            self.stdout.write(f"Took {taken} held entries into the log.")

    def _once(self, every_s: int) -> int:
        """Rounds without a rest between them; how much failed."""
        failed, more = 0, True
        while more:
            ran = self._round(every_s)
            failed += sum(one.failed for one in ran)
            more = any(one.more for one in ran)
        return failed

    def _round(self, every_s: int) -> list[Ran]:
        progress = Bar(self.stderr, "patients").show
        ran = clock_round(progress=progress, every_s=every_s)
        for one in ran:
            self.stdout.write(f"{one.did}.")
        return ran
