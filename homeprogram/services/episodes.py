"""End an episode of care, and open it again when that was too early."""

from datetime import date, datetime
from uuid import UUID

from django.db import IntegrityError, transaction

from homeprogram.calc.days import ONE_DAY, local_day, zone_or_utc
from homeprogram.errors import RuleBroken
from homeprogram.models import (
    ChangeType,
    Clinician,
    DecisionKind,
    Episode,
    Pause,
    PauseReason,
)
from homeprogram.services.changes import changes_announce, patient_lock
from homeprogram.services.decisions import decision_keep
from homeprogram.services.programs import program_end


@transaction.atomic
def episode_end(
    *, episode: Episode, by: Clinician, reason: str, now: datetime, about: UUID | None = None
) -> date:
    """With its home program, if it has one; returns the last day. `about` = its discharge."""
    patient = patient_lock(patient_id=episode.patient_id)
    episode.refresh_from_db(fields=["ended_on"])
    if episode.ended_on is not None:
        raise RuleBroken("This episode has ended already.", code="episode_ended")
    program = getattr(episode, "program", None)
    if program and program.ended_on is None:
        program.episode = episode
        program_end(program=program, by=by, reason=reason, now=now, about=about)
        return episode.ended_on
    episode.ended_on = max(local_day(now, zone_or_utc(patient.zone)), episode.starts_on)
    episode.save(update_fields=["ended_on"])
    decision_keep(
        patient=patient,
        by=by,
        kind=DecisionKind.END,
        words=f"Last day {episode.ended_on}. {reason}",
        now=now,
        episode=episode,
        about=about,
    )
    return episode.ended_on


@transaction.atomic
def episode_reopen(*, episode: Episode, by: Clinician, reason: str, now: datetime) -> None:
    """Its home program comes back paused: nothing is due before somebody ends the pause.

    The days in between are paused too, so that none of them counts as missed.
    """
    patient = patient_lock(patient_id=episode.patient_id)
    episode.refresh_from_db(fields=["ended_on"])
    if episode.ended_on is None:
        raise RuleBroken("This episode is open.", code="episode_open")
    if not reason.strip():
        message = "Say why the episode is opened again."
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    ended_on, episode.ended_on = episode.ended_on, None
    try:
        with transaction.atomic():
            episode.save(update_fields=["ended_on"])
    except IntegrityError:
        message = f"Another episode of the {episode.limb} limb is open. End that one first."
        raise RuleBroken(message, code="episode_open") from None
    decision_keep(
        patient=patient,
        by=by,
        kind=DecisionKind.REOPEN,
        words=reason,
        now=now,
        episode=episode,
    )
    program = getattr(episode, "program", None)
    if program is None:
        return
    program.ended_on, program.end_reason = None, ""
    program.save(update_fields=["ended_on", "end_reason"])
    if not program.pauses.filter(last_day=None).exists():
        Pause.objects.create(
            clinic_id=episode.clinic_id,
            program=program,
            first_day=ended_on + ONE_DAY,
            reason=PauseReason.OTHER,
            note="The episode had ended.",
            created_by=by,
            created_at=now,
        )
    changes_announce(patient=patient, what=[(ChangeType.PROGRAM, program.id)])
