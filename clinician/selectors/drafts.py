"""Drafts of the clinician who asks; nobody reads another's."""

from uuid import UUID

from clinician.models import Draft
from homeprogram.models import Clinic, Clinician, Episode
from homeprogram.selectors.record import episode_of_clinic

PROGRAM = "program-"


def draft_key(episode: Episode) -> str:
    """The home program of one episode, whether it is being assigned or revised."""
    return f"{PROGRAM}{episode.id}"


def episode_of_draft(*, clinic: Clinic, key: str) -> Episode | None:
    try:
        episode_id = UUID(key.removeprefix(PROGRAM))
    except ValueError:
        return None
    return episode_of_clinic(clinic=clinic, episode_id=episode_id)


def draft_of(*, clinician: Clinician, key: str) -> Draft | None:
    return Draft.objects.filter(clinician=clinician, key=key).first()
