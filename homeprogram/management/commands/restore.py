"""Puts a backup in the place of the record; phones then offer theirs again."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from homeprogram.errors import HomeProgramError
from homeprogram.services.backups import phones_expected, restore


class Command(BaseCommand):
    requires_system_checks: list = []  # the record is reached even where the site is broken
    help = "Replace the record by a backup: manage.py restore FILE --yes"

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--yes", action="store_true", help="the web processes are stopped")

    def handle(self, *args: str, **options: object) -> None:
        if not options["yes"]:
            raise CommandError("Stop the web processes, then add --yes: the record is replaced.")
        try:
            counts = restore(source=options["file"], now=timezone.now())
        except HomeProgramError as error:
            raise CommandError(error.message) from error
        self.stdout.write(
            f"Restored: {counts.patients} patients, {counts.entries} entries, newest "
            f"{counts.newest or 'none'}. The log has a new name: {phones_expected()} phones will "
            "offer again what they recorded since. Days after the newest entry fill as they sync."
        )
