"""Small clinics for the browser tests, made through the services; prints JSON."""

import json
import sys
from datetime import timedelta


def one_patient() -> dict:
    """A clinician and a patient whose program has been in effect since two days ago.

    An older phone named the revision, so that a bout is due today although the
    test pairs its own phone only now.
    """
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from homeprogram.services.push import Push, push_take
    from tests.conftest import PASSWORD, PairedPhone, make_clinic, make_clinician, make_program

    now = timezone.now()
    then = now - timedelta(days=3)
    clinic = make_clinic(then)
    clinician = make_clinician(clinic, "ro@larkrise.example", then, name="Ro Desk")
    patient = patient_add(by=clinician, name="Wilma Tarn", now=then, zone="UTC")
    revision = make_program(patient, clinician, then)
    old = PairedPhone(patient, clinician, then, label="old phone").row
    millis = int(then.timestamp() * 1000)
    push_take(phone=old, push=Push("old", 0, [revision.id], [], None, millis), now=then)
    return {
        "login": clinician.user.email,
        "password": PASSWORD,
        "patient": str(patient.id),
        "episode": str(revision.program.episode_id),
        "revision": str(revision.id),
        "program": str(revision.program_id),
    }


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps(globals()[sys.argv[1]]()))
