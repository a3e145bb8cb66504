"""`manage.py held_look_again`: what a newer program can use of the entries in custody."""

from django.core.management.base import BaseCommand
from django.utils import timezone

from homeprogram.management.progress import Bar
from homeprogram.services.custody import held_look_again


class Command(BaseCommand):
    requires_system_checks: list = []  # the record is reached even where the site is broken
    help = (
        "Reads held entries again and takes into the log what can be used now; the others stay "
        "held. The clock does the same whenever it starts."
    )

    def handle(self, *args: object, **options: object) -> None:
        taken = held_look_again(now=timezone.now(), progress=Bar(self.stderr, "entries").show)
        self.stdout.write(f"Took {taken} held entries into the log.")
