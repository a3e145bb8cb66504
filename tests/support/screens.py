"""A clinic in which every screen and page has something to show; prints JSON."""

import json
import sys
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.support import screen_names as names

EVERY_DAY = (0, 1, 2, 3, 4, 5, 6)
DEMO = ("skin_reaction", "surgery_review")


def clinic() -> dict:
    """Codes for phones by state, the address of every page by the name of its route."""
    from django.utils import timezone

    from tests.conftest import PASSWORD, make_clinic, make_clinician

    now = timezone.now()
    then = now - timedelta(days=40)
    house = make_clinic(then)
    lead = make_clinician(house, "ines@larkrise.example", then, role="lead", name="Ines Lead")
    codes = _phones(lead, now)
    rich, paused = _demo_patients(lead, now)
    return {
        "login": lead.user.email,
        "password": PASSWORD,
        "guarded": {"login": names.GUARDED, "code": _with_a_code_app(lead.clinic, then)},
        "codes": codes | {"held": _code(rich, lead, now)},
        "pages": _pages(lead, rich, paused, now),
    }


def _phones(by, now: datetime) -> dict[str, str]:
    today = now.date()
    other_day = ((today.weekday() + 3) % 7,)
    two = {"left": {"bouts_per_day": 2}, "right": {"weekdays": other_day}}
    return {
        "due": _code(_usual(by, now, "Wilma Tarn"), by, now),
        "left over": _code(_usual(by, now, "Ansa Rook"), by, now),
        "morning": _code(_with_bouts(by, now, "Pell Amory", 3), by, now),
        "taps": _code(_with_bouts(by, now, "Sunniva Lark", 1), by, now),
        "two": _code(_patient(by, now, "Osk Fenn", two), by, now),
        "paused": _code(_paused(by, now), by, now),
        "ended": _code(_ended(by, now), by, now),
        "photo": _code(_photographed(by, now), by, now),
        "waiting": _code(_usual(by, now, "Tamsin Reed"), by, now, standing=False),
    }


def _code(patient, by, now: datetime, *, standing: bool = True) -> str:
    from homeprogram.services.pairing import code_create

    return code_create(patient=patient, by=by, now=now, standing=standing).code


def _patient(by, now: datetime, name: str, limbs: dict[str, dict]):
    """A patient whose programs an older phone named three days ago."""
    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_program
    from tests.support.pushes import push_at

    then = now - timedelta(days=3)
    patient = patient_add(by=by, name=name, now=then, zone="UTC")
    revisions = [make_program(patient, by, then, limb, **dose) for limb, dose in limbs.items()]
    push_at(PairedPhone(patient, by, then), then, have=[one.id for one in revisions])
    return patient


def _usual(by, now: datetime, name: str):
    return _patient(by, now, name, {"left": {}})


def _photographed(by, now: datetime):
    """One who agreed to photos of the skin."""
    from tests.support.photos import agreed_to_photos

    patient = _usual(by, now, "Linnea Holt")
    agreed_to_photos(patient, by, now)
    return patient


def _programs(patient) -> Iterable:
    from homeprogram.models import HomeProgram

    return HomeProgram.objects.filter(episode__patient=patient).order_by("episode__limb")


def _with_bouts(by, now: datetime, name: str, count: int):
    """One a day, the last one yesterday."""
    from tests.conftest import PairedPhone
    from tests.entries import BOUT
    from tests.support.pushes import push_at

    patient = _usual(by, now, name)
    program = _programs(patient)[0]
    days = [(now - timedelta(days=back)).date() for back in range(count, 0, -1)]
    phone = PairedPhone(patient, by, now)
    bouts = [
        phone.entry(
            "bout",
            BOUT | {"started_at": f"{day}T08:00"},
            for_date=day.isoformat(),
            local_time=f"{day}T08:20:00",
            episode_id=str(program.episode_id),
            revision_id=str(program.revisions.get().id),
        )
        for day in days
    ]
    push_at(phone, now, *bouts)
    return patient


def _paused(by, now: datetime):
    """One leg rests until a day that is named; a mark will excuse the other."""
    from homeprogram.services.programs import program_pause

    patient = _patient(by, now, "Ada Brook", {"left": {}, "right": {}})
    last_day: date = now.date() + timedelta(days=4)
    program = _programs(patient)[0]
    program_pause(program=program, by=by, reason="travel", now=now, last_day=last_day)
    return patient


def _ended(by, now: datetime):
    """One leg's program is over, the other's starts tomorrow."""
    from homeprogram.services.programs import program_end
    from tests.conftest import make_program

    patient = _usual(by, now, "Ewan Moss")
    yesterday = now.date() - timedelta(days=1)
    program_end(
        program=_programs(patient)[0], by=by, reason="strong enough", now=now, ended_on=yesterday
    )
    make_program(patient, by, now, "right")
    return patient


def _demo_patients(by, now: datetime) -> list:
    """Two of the demo's patients, with weeks of entries, flags, holds and visits."""
    from clinician.demo.cast import CAST
    from clinician.demo.load import _patient as demo_patient
    from homeprogram.models import Patient

    members = {one.key: one for one in CAST}
    for key in DEMO:
        demo_patient(members[key], by, ZoneInfo("UTC"), now)
    return [Patient.objects.get(name=members[key].name) for key in DEMO]


def _pages(lead, rich, paused, now: datetime) -> dict[str, str]:
    from django.urls import reverse

    from clinician.services.invitations import join_path
    from homeprogram.services.clinics import clinician_invite

    invited = clinician_invite(
        clinic=lead.clinic, email="ilka@larkrise.example", name="Ilka", role="clinician", now=now
    )
    given = {
        **_of_patient(rich, lead, now),
        **_of_program(rich, paused, now),
        **_of_colleague(lead, now),
        **_of_clinic(lead, now),
        "staff-link": {"clinician_id": invited.id},
    }
    every = {*names.SIGNED_OUT, *names.SIGNED_IN, *names.LAST_OF_ALL} - {names.JOIN}
    return {name: reverse(name, kwargs=given.get(name)) for name in every} | {
        names.JOIN: join_path(invited)
    }


def _of_patient(rich, lead, now: datetime) -> dict[str, dict]:
    from homeprogram.models import Flag, Phone
    from homeprogram.services.pairing import phone_pair
    from tests.support.desk import (
        make_contact,
        make_incident,
        make_loan,
        make_own,
        make_visit,
        seen_bout,
    )
    from tests.support.notes import make_note, make_review
    from tests.support.photos import photo_of_newest_check

    make_own(lead, now, "KN-07")  # in the store
    loan = make_loan(rich, lead, now)
    limb = _programs(rich)[0].episode
    incident = make_incident(rich, lead, now, episode=limb, stimulator=loan.stimulator)
    visit = make_visit(limb, lead, now, measures={"lag_deg": 5}, bout=seen_bout(lead.clinic, now))
    code = _code(rich, lead, now, standing=False)
    waiting, _ = phone_pair(secret=code, label="new phone", address="10.0.0.2", now=now)
    note = make_note(rich, lead, now)
    photo = photo_of_newest_check(rich, lead, now)
    return {
        **{name: {"patient_id": rich.id} for name in names.OF_PATIENT},
        "visit-correct": {"visit_id": visit.id},
        **{name: {"incident_id": incident.id} for name in names.OF_INCIDENT},
        "lending-detail": {"own_id": loan.stimulator_id},
        "loan-return": {"loan_id": loan.id},
        "contact-correct": {"contact_id": make_contact(rich, lead, now).id},
        "reminder-stop": {"token": _stop_token(rich, lead, now)},
        "review-shown": {"review_id": make_review(rich, lead, now).id},
        "note-detail": {"note_id": note.id},
        "photo-detail": {"photo_id": photo.id},
        "photo-agreement-end": {"agreement_id": rich.photo_agreements.get().id},
        "addendum-add": {"note_id": note.id},
        "phone-confirm": {"phone_id": waiting.id},
        "phone-revoke": {"phone_id": Phone.objects.get(patient=rich, state="active").id},
        "flag-close": {"flag_id": Flag.objects.filter(patient=rich, closed_at=None)[0].id},
    }


def _stop_token(patient, by, now: datetime) -> str:
    """Of a message that went out; a second way, so that the page asks which to stop."""
    from clinician.services.contact_requests import contact_request_send
    from clinician.services.stop_tokens import stop_token
    from tests.support.reminding import SITE, Remembering, agreed, routes_of

    agreed(patient, by, now, ways=["email", "push"])
    noon = now.replace(hour=12)
    routes = routes_of(email=Remembering())
    sent = contact_request_send(
        patient=patient, by=by, routes=routes, site=SITE, clock=lambda: noon
    )
    return stop_token(sent)


def _of_program(rich, paused, now: datetime) -> dict[str, dict]:
    from homeprogram.models import Pause, SurgeonLimit
    from homeprogram.services.patients import episode_add
    from tests.conftest import make_screening
    from tests.support.notes import make_discharge

    over = episode_add(
        patient=paused, limb="left", pathway="conservative", starts_on=now.date(), now=now
    )
    discharge = make_discharge(over, paused.clinician, now)
    bare = episode_add(
        patient=paused, limb="left", pathway="conservative", starts_on=now.date(), now=now
    )
    make_screening(bare, paused.clinician, now)
    program = _programs(rich)[0]
    revision = program.revisions.order_by("-number")[0]
    return {
        **{name: {"program_id": program.id} for name in names.OF_PROGRAM},
        **{name: {"episode_id": program.episode_id} for name in names.OF_EPISODE},
        **{name: {"revision_id": revision.id} for name in names.OF_REVISION},
        "discharge-letter": {"discharge_id": discharge.id},
        "episode-reopen": {"episode_id": discharge.episode_id},
        "program-start": {"episode_id": bare.id},
        "program-assign": {"episode_id": bare.id, "family": "acl_reconstruction"},
        "pause-end": {"pause_id": Pause.objects.get(program__episode__patient=paused).id},
        "limit-end": {"limit_id": SurgeonLimit.objects.filter(episode__patient=paused)[0].id},
    }


def _of_clinic(lead, now: datetime) -> dict[str, dict]:
    from homeprogram.models import HeldEntry
    from homeprogram.selectors.record import stimulators_of_clinic
    from tests.conftest import PairedPhone
    from tests.entries import BOUT
    from tests.support.pushes import push_at

    phone = PairedPhone(_usual(lead, now, "Bram Hale"), lead, now)
    push_at(phone, now, phone.entry("bout", BOUT | {"contractions": "many"}))
    return {
        "held-settle": {"held_id": HeldEntry.objects.get(patient=phone.row.patient).id},
        "stimulator-edit": {"stimulator_id": stimulators_of_clinic(clinic=lead.clinic)[0].id},
    }


def _of_colleague(lead, now: datetime) -> dict[str, dict]:
    from tests.conftest import make_clinician

    colleague = make_clinician(lead.clinic, names.COLLEAGUE, now, name="Noor Physio")
    uid, key = _reset_key(colleague)
    return {
        **{name: {"clinician_id": colleague.id} for name in names.OF_COLLEAGUE},
        "account_reset_password_from_key": {"uidb36": uid, "key": key},
    }


def _with_a_code_app(clinic, now: datetime) -> str:
    """A clinician with a second step; one recovery code."""
    from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
    from allauth.mfa.totp.internal.auth import TOTP, generate_totp_secret

    from tests.conftest import make_clinician

    user = make_clinician(clinic, names.GUARDED, now, name="Sverre Berg").user
    TOTP.activate(user, generate_totp_secret())
    return RecoveryCodes.activate(user).get_unused_codes()[0]


def _reset_key(clinician) -> tuple[str, str]:
    from allauth.account.forms import default_token_generator
    from allauth.account.utils import user_pk_to_url_str

    user = clinician.user
    return user_pk_to_url_str(user), default_token_generator.make_token(user)


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps(globals()[sys.argv[1]]()))
