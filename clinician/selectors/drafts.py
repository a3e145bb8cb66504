"""Drafts of the clinician who asks; nobody reads another's."""

from uuid import UUID

from clinician.models import Draft
from homeprogram.models import Clinic, Clinician, Episode, Patient
from homeprogram.selectors.record import episode_of_clinic, patient_of_clinic

PROGRAM = "program-"
NOTE = "note-"
DISCHARGE = "discharge-"


def draft_key(episode: Episode) -> str:
    """The home program of one episode, whether it is being assigned or revised."""
    return f"{PROGRAM}{episode.id}"


def note_draft_key(patient: Patient) -> str:
    return f"{NOTE}{patient.id}"


def discharge_draft_key(episode: Episode) -> str:
    return f"{DISCHARGE}{episode.id}"


def episode_of_draft(*, clinic: Clinic, key: str) -> Episode | None:
    """Of a form about one limb: its home program."""
    named = _named(key, PROGRAM)
    return episode_of_clinic(clinic=clinic, episode_id=named) if named else None


def patient_of_draft(*, clinic: Clinic, key: str) -> Patient | None:
    """Whom the form that this key names is about; None where it names none of this clinic."""
    if named := _named(key, NOTE):
        return patient_of_clinic(clinic=clinic, patient_id=named)
    named = _named(key, PROGRAM) or _named(key, DISCHARGE)
    episode = episode_of_clinic(clinic=clinic, episode_id=named) if named else None
    return episode.patient if episode else None


def _named(key: str, kind: str) -> UUID | None:
    try:
        return UUID(key.removeprefix(kind)) if key.startswith(kind) else None
    except ValueError:
        return None


def draft_of(*, clinician: Clinician, key: str) -> Draft | None:
    return Draft.objects.filter(clinician=clinician, key=key).first()
