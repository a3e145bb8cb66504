"""`manage.py audit`: reads the whole log back and says whether it is what it was told."""

from collections import Counter

from django.core.management.base import BaseCommand, CommandError

from homeprogram.management.progress import Bar
from homeprogram.selectors.audit import FAULTS, patient_faults
from homeprogram.selectors.roster import all_patients


class Command(BaseCommand):
    requires_system_checks: list = []  # the record is reached even where the site is broken
    help = (
        "Compares every entry's text with its hash and its columns, and counts versions and "
        "numbers. Changes nothing; exits 1 when something is wrong. Run it nightly."
    )

    def handle(self, *args: object, **options: object) -> None:
        patients = all_patients()
        bar = Bar(self.stderr, "patients")
        found: Counter = Counter()
        for place, patient in enumerate(patients, start=1):
            faults = patient_faults(patient=patient)
            found += faults
            for fault, count in faults.items():
                # The id only: this output ends in a log.
                self.stdout.write(f"patient {patient.id}: {count} {fault}: {FAULTS[fault]}")
            bar.show(place, len(patients))
        if found:
            raise CommandError(f"{found.total()} faults in the log. Compare with a backup.")
        self.stdout.write(f"The log of {len(patients)} patients is what it was told.")
