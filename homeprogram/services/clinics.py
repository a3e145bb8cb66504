"""A clinic, its first lead, and the clinicians it invites."""

from datetime import datetime
from uuid import uuid4
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.db import IntegrityError, transaction

from homeprogram.calc.limits import FlagRules
from homeprogram.calc.texts import pads_told
from homeprogram.errors import RuleBroken
from homeprogram.models import (
    Clinic,
    Clinician,
    LogIdentity,
    Phone,
    PhoneState,
    Role,
    SettingKind,
    StimulatorProfile,
    User,
)
from homeprogram.selectors.record import clinicians_who_sign_in
from homeprogram.services.changes import flags_look_soon, texts_announce
from homeprogram.services.settings import setting_note

# Generic kinds of stimulator; a clinic adds its own. Figures are plausible
# outputs of portable and clinic stimulators (common practice, no source).
STARTER_STIMULATORS = (
    {
        "name": "Portable, low output",
        "max_intensity": 60,
        "min_frequency_hz": 1,
        "max_frequency_hz": 100,
        "max_phase_duration_us": 300,
    },
    {
        "name": "Portable, high output",
        "max_intensity": 120,
        "min_frequency_hz": 1,
        "max_frequency_hz": 150,
        "max_phase_duration_us": 400,
    },
    {
        "name": "Clinic-lent, four channels",
        "max_intensity": 140,
        "min_frequency_hz": 1,
        "max_frequency_hz": 150,
        "max_phase_duration_us": 600,
        "channels": 4,
    },
)


@transaction.atomic
def clinic_create(
    *,
    name: str,
    phone_number: str,
    hours: str,
    out_of_hours: str,
    emergency_number: str,
    zone: str,
    now: datetime,
) -> Clinic:
    """A new clinic with a starter set of stimulator profiles and nobody in it."""
    zone_check(zone)
    clinic = Clinic(
        name=name,
        phone_number=phone_number,
        hours=hours,
        out_of_hours=out_of_hours,
        emergency_number=emergency_number,
        zone=zone,
        created_at=now,
    )
    clinic.full_clean()
    clinic.save()
    StimulatorProfile.objects.bulk_create(
        StimulatorProfile(clinic=clinic, **profile) for profile in STARTER_STIMULATORS
    )
    return clinic


def zone_check(name: str) -> None:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise RuleBroken(
            f"{name!r} is no time zone. Use a name like Europe/Lisbon.",
            code="zone_unknown",
            fields={"zone": "Use a name like Europe/Lisbon."},
        ) from None


@transaction.atomic
def clinician_invite(
    *,
    clinic: Clinic,
    email: str,
    name: str,
    role: str = Role.CLINICIAN,
    now: datetime,
    by: Clinician | None = None,
) -> Clinician:
    """A clinician who cannot sign in until they set a password by their link.

    Only the first lead of a clinic is invited by nobody.
    """
    if User.objects.filter(email=email.lower()).exists():
        raise RuleBroken(
            "This address already signs in here.",
            code="email_taken",
            fields={"email": "This address already signs in here."},
        )
    try:
        user = User.objects.create_user(email=email)
    except IntegrityError:
        raise RuleBroken("This address already signs in here.", code="email_taken") from None
    clinician = Clinician(clinic=clinic, user=user, name=name, role=role, invited_at=now)
    clinician.full_clean()
    clinician.save()
    if by:
        _note_staff(clinician, {}, {"role": role}, by, now)
    return clinician


@transaction.atomic
def clinician_deactivate(*, clinician: Clinician, by: Clinician, now: datetime) -> None:
    """Ends a clinician's access at once; what they wrote stays theirs."""
    if clinician == by:
        raise RuleBroken("You cannot end your own access.", code="own_access")
    _lead_left(clinician)
    _note_staff(clinician, {"role": clinician.role}, {}, by, now)
    clinician.active = False
    clinician.save(update_fields=["active"])
    clinician.user.is_active = False
    clinician.user.save(update_fields=["is_active"])
    if clinician.clinic.closed_days:
        texts_announce(clinic=clinician.clinic)  # phones may name them as who answers


@transaction.atomic
def clinician_role_set(*, clinician: Clinician, role: str, by: Clinician, now: datetime) -> None:
    """Makes somebody a lead or no longer one; a clinic is never without."""
    if role != Role.LEAD:
        _lead_left(clinician)
    _note_staff(clinician, {"role": clinician.role}, {"role": role}, by, now)
    clinician.role = role
    clinician.full_clean()
    clinician.save(update_fields=["role"])


def _lead_left(clinician: Clinician) -> None:
    """Refuse where nobody else would lead; two leads at once wait for each other here."""
    Clinic.objects.select_for_update().get(id=clinician.clinic_id)
    leads = clinicians_who_sign_in(clinic=clinician.clinic).filter(role=Role.LEAD)
    if not leads.exclude(id=clinician.id).exists():
        message = "Somebody has to lead the clinic. Make another clinician a lead first."
        raise RuleBroken(message, code="last_lead", fields={"role": message})


def _note_staff(
    clinician: Clinician, before: dict, after: dict, by: Clinician, now: datetime
) -> None:
    setting_note(
        clinic=clinician.clinic,
        kind=SettingKind.STAFF,
        before=before,
        after=after,
        by=by,
        now=now,
        person=clinician,
    )


def password_set(*, user: User, password: str) -> None:
    user.set_password(password)
    user.save(update_fields=["password"])


@transaction.atomic
def clinic_rules_set(*, clinic: Clinic, rules: dict, by: Clinician, now: datetime) -> None:
    """The clinic's own flag thresholds; raises RuleBroken for unknown names."""
    try:
        FlagRules.of_clinic(rules)
    except (TypeError, ValueError) as error:
        raise RuleBroken(str(error), code="rules_invalid") from error
    pads_before = pads_told(clinic.rules)
    told = {"before": clinic.rules, "after": rules}
    setting_note(clinic=clinic, kind=SettingKind.RULES, by=by, now=now, **told)
    clinic.rules = rules
    clinic.save(update_fields=["rules"])
    flags_look_soon(patients=clinic.patients)
    if pads_told(rules) != pads_before:
        texts_announce(clinic=clinic)  # the phone warns by the same numbers


# The least and most a clinic may sensibly ask of a course. [weeks], [%]
COURSE_BOUNDS = {
    "weeks_post_operative": (1, 104),
    "weeks_conservative": (1, 104),
    "weeks_pre_operative": (1, 104),
    "lsi_pct": (50, 110),
}


@transaction.atomic
def clinic_course_set(*, clinic: Clinic, course: dict, by: Clinician, now: datetime) -> None:
    """The clinic's own least weeks and limb symmetry index; raises RuleBroken."""
    faults = {
        name: "This is not a value of the course."
        if name not in COURSE_BOUNDS
        else "From {} to {}.".format(*COURSE_BOUNDS[name])
        for name, value in course.items()
        if name not in COURSE_BOUNDS
        or not COURSE_BOUNDS[name][0] <= value <= COURSE_BOUNDS[name][1]
    }
    if faults:
        raise RuleBroken("Some values need a change.", code="course_invalid", fields=faults)
    told = {"before": clinic.course, "after": course}
    setting_note(clinic=clinic, kind=SettingKind.COURSE, by=by, now=now, **told)
    clinic.course = course
    clinic.save(update_fields=["course"])
    flags_look_soon(patients=clinic.patients)


@transaction.atomic
def clinic_texts_set(
    *,
    clinic: Clinic,
    phone_number: str,
    hours: str,
    out_of_hours: str,
    emergency_number: str,
    texts: dict,
    by: Clinician,
    now: datetime,
) -> None:
    """What every phone of the clinic shows; all of them hear of it.

    `texts` holds only what differs from ours: {"skin": {"0": ...}, ...}.
    """
    before = _texts(clinic)
    clinic.phone_number = phone_number
    clinic.hours = hours
    clinic.out_of_hours = out_of_hours
    clinic.emergency_number = emergency_number
    clinic.texts = texts
    clinic.full_clean()
    setting_note(
        clinic=clinic, kind=SettingKind.TEXTS, before=before, after=_texts(clinic), by=by, now=now
    )
    clinic.save(
        update_fields=["phone_number", "hours", "out_of_hours", "emergency_number", "texts"]
    )
    texts_announce(clinic=clinic)


def _texts(clinic: Clinic) -> dict:
    """Every text by a name of its own, so that a change names only what differs."""
    named = ("phone_number", "hours", "out_of_hours", "emergency_number")
    told = {name: getattr(clinic, name) for name in named}
    for kind, texts in clinic.texts.items():
        told |= {f"{kind} {key}": words for key, words in texts.items()}
    return told


@transaction.atomic
def log_identity_draw(*, now: datetime) -> LogIdentity:
    """A new name for this copy of the log, so that phones offer theirs again.

    What they claimed was true of the log as it was: until each has spoken to this
    one, no day counts as known. Asks only for columns that a restored older record has.
    """
    Phone.objects.filter(state=PhoneState.ACTIVE).update(claim_at=None)
    identity, _ = LogIdentity.objects.update_or_create(
        id=1, defaults={"identity": uuid4(), "drawn_at": now}
    )
    return identity
