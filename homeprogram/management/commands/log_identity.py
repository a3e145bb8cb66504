"""The name of this copy of the log; a new one after a standby took over."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand
from django.utils import timezone

from homeprogram.selectors.record import log_identity
from homeprogram.services.backups import phones_expected
from homeprogram.services.clinics import log_identity_draw


class Command(BaseCommand):
    requires_system_checks: list = []  # the record is reached even where the site is broken
    help = "Print the log's identity. --new draws another, so that phones offer theirs again."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--new",
            action="store_true",
            help="after promoting a standby, whose last commits may be missing",
        )

    def handle(self, *args: object, **options: object) -> None:
        if not options["new"]:
            self.stdout.write(str(log_identity()))
            return
        drawn = log_identity_draw(now=timezone.now())
        self.stdout.write(
            f"{drawn.identity}: {phones_expected()} phones will pull from the start and offer "
            "again all they hold."
        )
