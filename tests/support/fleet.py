"""A clinic with as many patients as asked for, each with a paired phone; prints JSON."""

import json
import sys
from datetime import timedelta


def fleet(count: int, days: int = 10) -> list[dict]:
    """Phones whose programs have been in effect for almost `days` days, with their tokens."""
    from django.db import transaction
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program

    then = timezone.now() - timedelta(days=days)
    paired = []
    with transaction.atomic():
        # Named after its size, so that a second one has another clinic.
        clinic = make_clinic(then, f"Larkrise Knee Clinic {count}")
        clinician = make_clinician(clinic, f"ro{count}@larkrise.example", then, name="Ro Desk")
        for place in range(count):
            patient = patient_add(by=clinician, name=f"Wilma Tarn {place}", now=then, zone="UTC")
            revision = make_program(patient, clinician, then)
            # Standing codes: no limit on how many phones pair in an hour.
            phone = PairedPhone(patient, clinician, then, standing=True)
            _follows(phone.row, revision, then)
            paired.append(
                {
                    "id": str(phone.id),
                    "token": phone.token,
                    "episode_id": str(revision.program.episode_id),
                    "revision_id": str(revision.id),
                }
            )
    return paired


def _follows(phone, revision, then) -> None:
    """The phone named its revision at once, so that days are due since then."""
    from homeprogram.services.push import Push, push_take

    sent_ms = int(then.timestamp() * 1000)
    push_take(phone=phone, push=Push("scripted", 0, [revision.id], [], None, sent_ms), now=then)


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps(fleet(int(sys.argv[1]))))
