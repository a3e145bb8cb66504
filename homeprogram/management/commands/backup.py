"""Writes a verified copy of the whole record to one file."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError, CommandParser

from homeprogram.errors import HomeProgramError
from homeprogram.services.backups import backup_write


class Command(BaseCommand):
    requires_system_checks: list = []  # the record is reached even where the site is broken
    help = "Write a verified copy of the record: manage.py backup FILE"

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)

    def handle(self, *args: str, **options: Path) -> None:
        try:
            counts = backup_write(target=options["file"])
        except HomeProgramError as error:
            raise CommandError(error.message) from error
        self.stdout.write(
            f"{options['file']}: {counts.patients} patients, {counts.entries} entries, "
            f"{counts.held} held; newest entry {counts.newest or 'none'}. "
            "Keep it encrypted and on another machine."
        )
