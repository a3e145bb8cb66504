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


def two_to_review() -> dict:
    """A clinician with two patients nobody has reviewed yet; nothing is raised."""
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from tests.conftest import PASSWORD, make_clinic, make_clinician, make_program

    then = timezone.now() - timedelta(days=3)
    clinician = make_clinician(make_clinic(then), "ro@larkrise.example", then, name="Ro Desk")
    for name in ("Wilma Tarn", "Abel Calm"):
        patient = patient_add(by=clinician, name=name, now=then, zone="UTC")
        make_program(patient, clinician, then)
    return {"login": clinician.user.email, "password": PASSWORD}


def one_screened_episode() -> dict:
    """A clinician and a patient who has been screened and has no home program yet."""
    from django.utils import timezone

    from homeprogram.services.patients import episode_add, patient_add
    from tests.conftest import PASSWORD, make_clinic, make_clinician, make_screening

    now = timezone.now()
    clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now, name="Ro Desk")
    patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone="UTC")
    episode = episode_add(
        patient=patient, limb="right", pathway="conservative", starts_on=now.date(), now=now
    )
    make_screening(episode, clinician, now)
    return {"login": clinician.user.email, "password": PASSWORD, "episode": str(episode.id)}


def revised_today() -> dict:
    """A new revision for the one patient: fewer seconds of rest from tomorrow on."""
    from django.utils import timezone

    from homeprogram.models import Clinician, HomeProgram
    from homeprogram.selectors.record import stimulators_of_clinic
    from homeprogram.services.programs import revision_add
    from tests.conftest import make_dose

    now = timezone.now()
    program = HomeProgram.objects.get()
    revision = revision_add(
        program=program,
        by=Clinician.objects.get(),
        dose=make_dose(contractions_per_bout=20),
        stimulator=stimulators_of_clinic(clinic=program.clinic)[0],
        first_day=now.date() + timedelta(days=1),
        reason="more contractions",
        now=now,
    )
    return {"revision": str(revision.id)}


def one_logged_week(email: str = "ro@larkrise.example", patient: str = "Wilma Tarn") -> dict:
    """A patient whose phone logged a bout a day for a week."""
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
    from tests.entries import BOUT

    now = timezone.now()
    then = now - timedelta(days=8)
    clinician = make_clinician(make_clinic(then, f"Clinic of {email}"), email, then)
    row = patient_add(by=clinician, name=patient, now=then, zone="UTC")
    revision = make_program(row, clinician, then)
    phone = PairedPhone(row, clinician, then)
    days = [(then + timedelta(days=n)).date().isoformat() for n in range(1, 8)]
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    reply = phone.push(*(phone.entry("bout", BOUT, for_date=day, **program) for day in days))
    assert reply.status_code == 200, reply.content
    return {"patient": str(row.id)}


def another_logged_week() -> dict:
    return one_logged_week("una@saltmarsh.example", "Osk Fenn")


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps(globals()[sys.argv[1]]()))
