"""The trail of decisions: written by the service that carries one out, with it."""

from datetime import datetime
from uuid import UUID

from homeprogram.models import Clinician, Decision, Episode, Patient

WORDS_MAX = 400  # [characters]; the row it is about holds all of it


def decision_keep(
    *,
    patient: Patient,
    by: Clinician,
    kind: str,
    words: str,
    now: datetime,
    episode: Episode | None = None,
    about: UUID | None = None,
) -> Decision:
    """In the caller's transaction: no decision without its line, no line without it."""
    words = words.strip()
    return Decision.objects.create(
        clinic_id=patient.clinic_id,
        patient=patient,
        episode=episode,
        kind=kind,
        words=words if len(words) <= WORDS_MAX else f"{words[: WORDS_MAX - 1]}…",
        about=about,
        by=by,
        at=now,
    )
