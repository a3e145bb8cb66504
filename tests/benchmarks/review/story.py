"""A panel of forty on a Monday morning; prints JSON. Ten patients have something open."""

import json
import sys
from datetime import timedelta

from tests.benchmarks.data import history_write

QUIET, FLAGGED = 30, 10
DAYS = 7


class Steady:
    """Stands in for chance: every bout is done."""

    def random(self) -> float:
        return 0.0


def panel_of_two() -> dict:
    return panel(quiet=1, flagged=1)


def panel(*, quiet: int = QUIET, flagged: int = FLAGGED) -> dict:
    from django.utils import timezone

    from homeprogram.models import Patient
    from homeprogram.services.patients import patient_add
    from tests.conftest import PASSWORD, PairedPhone, make_clinic, make_clinician, make_program
    from tests.support.notes import make_review
    from tests.support.pushes import push_at

    now = timezone.now()
    then = now - timedelta(days=DAYS + 1)
    clinic = make_clinic(then)
    by = make_clinician(clinic, "ro@larkrise.example", then, name="Ro Desk")
    for number in range(quiet + flagged):
        patient = patient_add(by=by, name=f"Patient {number:02}", now=then, zone="UTC")
        revision = make_program(patient, by, then)
        make_review(patient, by, then)
        phone = PairedPhone(patient, by, then, standing=True)
        history_write(patient, phone, revision, days=DAYS, now=now, random=Steady())
        if number >= quiet:
            phone.high = 2 * DAYS
            phone.row.refresh_from_db()
            phone.numbers = iter(range(2 * DAYS + 1, 99))
            asks = {"text": "It aches more on the stairs. May I turn it down?"}
            note = phone.entry("note_to_clinic", asks | {"wants_contact": True})
            push_at(phone, now, note)
    waiting = Patient.objects.filter(reviewed_at__lt=now - timedelta(days=DAYS)).count()
    return {"login": by.user.email, "password": PASSWORD, "patients": waiting}


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps(globals()[sys.argv[1]]()))
