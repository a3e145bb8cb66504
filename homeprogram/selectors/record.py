"""Reads by id, always through the clinic: foreign rows answer like absent ones."""

from uuid import UUID

from django.contrib.auth.hashers import UNUSABLE_PASSWORD_PREFIX
from django.db.models import QuerySet

from homeprogram.models import (
    Clinic,
    Clinician,
    Episode,
    Flag,
    FlagState,
    HeldEntry,
    Hold,
    HomeProgram,
    LogIdentity,
    Patient,
    Pause,
    Phone,
    Revision,
    StimulatorProfile,
    User,
)


def clinician_of_user(*, user: User) -> Clinician | None:
    """The active clinician behind a sign-in, with the clinic; None for anyone else."""
    return Clinician.objects.select_related("clinic").filter(user=user, active=True).first()


def clinicians_who_sign_in(*, clinic: Clinic | UUID) -> QuerySet[Clinician]:
    """Whoever can be asked: an invited person without a password yet sees no flag."""
    active = Clinician.objects.filter(clinic=clinic, active=True)
    return active.exclude(user__password__startswith=UNUSABLE_PASSWORD_PREFIX)


def clinician_signed_in(*, user: User) -> Clinician | None:
    """The same, for a user loaded with its clinician: no query of its own."""
    clinician = getattr(user, "clinician", None)
    return clinician if clinician and clinician.active else None


def patients_of_clinic(*, clinic: Clinic) -> QuerySet[Patient]:
    return Patient.objects.filter(clinic=clinic, archived_at=None).select_related("clinician")


def patient_of_clinic(*, clinic: Clinic, patient_id: UUID) -> Patient | None:
    return (
        Patient.objects.filter(clinic=clinic, id=patient_id)
        .select_related("clinic", "clinician")
        .first()
    )


def episodes_of_patient(*, patient: Patient) -> list[Episode]:
    """Newest first; the program, if any, in the same query."""
    episodes = Episode.objects.filter(patient=patient).select_related("program")
    return list(episodes.order_by("-starts_on", "limb"))


def episode_of_clinic(*, clinic: Clinic, episode_id: UUID) -> Episode | None:
    return (
        Episode.objects.filter(clinic=clinic, id=episode_id)
        .select_related("patient", "patient__clinic", "program")
        .first()
    )


def program_of_clinic(*, clinic: Clinic, program_id: UUID) -> HomeProgram | None:
    return (
        HomeProgram.objects.filter(clinic=clinic, id=program_id)
        .select_related("patient", "episode", "clinic")
        .first()
    )


def revisions_of_program(*, program: HomeProgram) -> list[Revision]:
    """Newest first, with who made them and whether a phone named them."""
    revisions = Revision.objects.filter(program=program)
    return list(
        revisions.select_related("stimulator", "created_by", "on_phone")
        .prefetch_related("settings__set_by")
        .order_by("-number")
    )


def revision_of_clinic(*, clinic: Clinic, revision_id: UUID) -> Revision | None:
    return (
        Revision.objects.filter(clinic=clinic, id=revision_id)
        .select_related("program", "program__patient", "program__episode", "stimulator")
        .first()
    )


def open_pause_of_program(*, program: HomeProgram) -> Pause | None:
    return Pause.objects.filter(program=program, last_day=None).first()


def pause_of_clinic(*, clinic: Clinic, pause_id: UUID) -> Pause | None:
    return (
        Pause.objects.filter(clinic=clinic, id=pause_id)
        .select_related("program", "program__patient", "program__episode")
        .first()
    )


def phones_of_patient(*, patient: Patient) -> list[Phone]:
    return list(Phone.objects.filter(patient=patient).order_by("-created_at"))


def phone_of_clinic(*, clinic: Clinic, phone_id: UUID) -> Phone | None:
    return (
        Phone.objects.filter(clinic=clinic, id=phone_id).select_related("patient", "code").first()
    )


def stimulators_of_clinic(*, clinic: Clinic) -> list[StimulatorProfile]:
    return list(StimulatorProfile.objects.filter(clinic=clinic).order_by("name"))


def open_flags_of_patient(*, patient: Patient) -> list[Flag]:
    flags = Flag.objects.filter(patient=patient, state=FlagState.OPEN)
    return list(flags.select_related("episode", "closed_by", "seen_by").order_by("-opened_at"))


def flags_of_patient(*, patient: Patient) -> list[Flag]:
    """Every card this patient ever had, open ones first, newest first."""
    flags = Flag.objects.filter(patient=patient).select_related("episode", "closed_by")
    return sorted(
        flags, key=lambda flag: (flag.state != FlagState.OPEN, -flag.opened_at.timestamp())
    )


def flag_of_clinic(*, clinic: Clinic, flag_id: UUID) -> Flag | None:
    return (
        Flag.objects.filter(clinic=clinic, id=flag_id)
        .select_related("patient__clinic", "episode", "closed_by", "seen_by")
        .first()
    )


def standing_holds_of_patient(*, patient: Patient) -> list[Hold]:
    holds = Hold.objects.filter(patient=patient, lift=None).select_related("entry", "episode")
    return list(holds.order_by("placed_at"))


def held_of_clinic(*, clinic: Clinic, held_id: UUID) -> HeldEntry | None:
    held = HeldEntry.objects.filter(clinic=clinic, id=held_id, settled_at=None)
    return held.select_related("patient", "phone").first()


def held_entries_of_patient(*, patient: Patient) -> list[HeldEntry]:
    """In custody and not settled, oldest first."""
    return list(HeldEntry.objects.filter(patient=patient, settled_at=None).order_by("received_at"))


def clinicians_of_clinic(*, clinic: Clinic) -> list[Clinician]:
    return list(Clinician.objects.filter(clinic=clinic).select_related("user").order_by("name"))


def clinician_of_clinic(*, clinic: Clinic, clinician_id: UUID) -> Clinician | None:
    return Clinician.objects.filter(clinic=clinic, id=clinician_id).select_related("user").first()


def log_identity() -> UUID:
    """Which copy of the log this is; drawn when the database is made."""
    return LogIdentity.objects.get(id=1).identity
