"""`manage.py rebuild`: bouts, skin checks and day rows anew from the entries."""

from argparse import ArgumentParser
from collections import Counter

from django.core.management.base import BaseCommand, CommandError

from homeprogram.management.progress import Bar
from homeprogram.selectors.roster import all_patient_ids
from homeprogram.services.rebuild import record_check, record_rebuild


class Command(BaseCommand):
    requires_system_checks: list = []  # the record is reached even where the site is broken
    help = "Makes every row that is read from entries anew; each patient in one transaction."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--check",
            action="store_true",
            help="change nothing; exit 1 when stored rows differ from rebuilt ones",
        )

    def handle(self, *args: object, **options: object) -> None:
        ids = all_patient_ids()
        bar = Bar(self.stderr, "patients")
        found: Counter = Counter()
        for place, patient_id in enumerate(ids, start=1):
            if options["check"]:
                found.update(record_check(patient_id=patient_id))
            else:
                found["rows"] += record_rebuild(patient_id=patient_id)
            bar.show(place, len(ids))
        self._report(found, len(ids), checked=options["check"])

    def _report(self, found: Counter, patients: int, *, checked: bool) -> None:
        if not checked:
            self.stdout.write(f"Rebuilt {found['rows']} rows of {patients} patients.")
        elif found.total():
            told = ", ".join(f"{kind} {count}" for kind, count in sorted(found.items()))
            raise CommandError(f"Stored rows differ from rebuilt ones: {told}.")
        else:
            self.stdout.write(f"Stored rows of {patients} patients agree with their entries.")
