"""Assign, revise, pause and end a home program."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Q

from homeprogram.calc.days import ONE_DAY, local_day, zone_or_utc
from homeprogram.errors import RuleBroken
from homeprogram.models import (
    ChangeType,
    Clinician,
    DecisionKind,
    Episode,
    HomeProgram,
    Patient,
    Pause,
    Revision,
    StimulatorProfile,
)
from homeprogram.services.changes import changes_announce, patient_lock
from homeprogram.services.decisions import decision_keep
from homeprogram.services.screenings import screening_required


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """What one revision asks for. Times in s, bout in min, phase in µs, pads in cm²."""

    weekdays: tuple[int, ...]
    bouts_per_day: int
    contractions_per_bout: int
    bout_min: float
    waveform: str
    frequency_hz: float
    phase_duration_us: float
    on_s: float
    off_s: float
    ramp_up_s: float
    ramp_down_s: float
    ramps_inside_on: bool
    electrode_cm2: float
    intensity: tuple[dict, ...]  # {channel, start, floor, ceiling}
    position: str
    exercises: tuple[dict, ...]  # {code, name, contraction_type, how}
    pads: tuple[str, ...] = ("upper_outer", "lower_inner")
    knee_angle_deg: float | None = None
    knee_range: str = ""
    voluntary_in_off: bool = False
    minimum_gap_h: float = 3
    family: str = ""
    details: dict | None = None  # what only the desk reads


@transaction.atomic
def program_assign(
    *,
    episode: Episode,
    by: Clinician,
    dose: Dose,
    stimulator: StimulatorProfile,
    first_day: date,
    reason: str,
    now: datetime,
) -> Revision:
    """The episode's home program with its first revision."""
    patient = patient_lock(patient_id=episode.patient_id)
    if episode.ended_on is not None:
        raise RuleBroken("This episode has ended. Open a new one.", code="episode_ended")
    if HomeProgram.objects.filter(episode=episode).exists():
        raise RuleBroken("This episode has a home program. Revise it.", code="program_exists")
    screening_required(episode=episode, now=now)
    program = HomeProgram.objects.create(
        clinic=episode.clinic, patient=patient, episode=episode, created_at=now
    )
    return _revision(
        patient=patient,
        program=program,
        number=1,
        by=by,
        dose=dose,
        stimulator=stimulator,
        first_day=first_day,
        reason=reason,
        now=now,
    )


@transaction.atomic
def revision_add(
    *,
    program: HomeProgram,
    by: Clinician,
    dose: Dose,
    stimulator: StimulatorProfile,
    first_day: date,
    reason: str,
    now: datetime,
) -> Revision:
    """A new dose from `first_day` on; the old revision stays as it was."""
    patient = patient_lock(patient_id=program.patient_id)
    _refuse_ended(program)
    screening_required(episode=program.episode, now=now)
    number = program.revisions.count() + 1
    return _revision(
        patient=patient,
        program=program,
        number=number,
        by=by,
        dose=dose,
        stimulator=stimulator,
        first_day=first_day,
        reason=reason,
        now=now,
    )


def _revision(
    *,
    patient: Patient,
    program: HomeProgram,
    number: int,
    by: Clinician,
    dose: Dose,
    stimulator: StimulatorProfile,
    first_day: date,
    reason: str,
    now: datetime,
) -> Revision:
    tomorrow = local_day(now, zone_or_utc(patient.zone)) + ONE_DAY
    if first_day < tomorrow:
        message = f"The first day is tomorrow ({tomorrow}) or later."
        raise RuleBroken(message, code="first_day_too_early", fields={"first_day": message})
    _refuse_odd_schedule(dose)
    values = asdict(dose)
    revision = Revision(
        clinic=program.clinic,
        program=program,
        number=number,
        first_day=first_day,
        reason=reason,
        stimulator=stimulator,
        created_by=by,
        created_at=now,
        **{name: list(v) if isinstance(v, tuple) else v for name, v in values.items()},
    )
    revision.full_clean()
    revision.save(force_insert=True)
    decision_keep(
        patient=patient,
        by=by,
        kind=DecisionKind.PROGRAM if number == 1 else DecisionKind.REVISION,
        words=f"Revision {number} from {first_day}: {reason}",
        now=now,
        episode=program.episode,
        about=revision.id,
    )
    changes_announce(patient=patient, what=[(ChangeType.PROGRAM, program.id)])
    return revision


def _refuse_odd_schedule(dose: Dose) -> None:
    if not dose.weekdays or not set(dose.weekdays) <= set(range(7)):
        message = "Choose at least one day of the week."
        raise RuleBroken(message, code="weekdays_missing", fields={"weekdays": message})
    if not dose.exercises:
        message = "Choose at least one exercise."
        raise RuleBroken(message, code="exercises_missing", fields={"exercises": message})
    if dose.knee_angle_deg is None and not dose.knee_range:
        message = "State the knee angle or the range."
        raise RuleBroken(message, code="knee_angle_missing", fields={"knee_angle_deg": message})


def _refuse_ended(program: HomeProgram) -> None:
    # Under the patient's lock: somebody else may have ended it since it was read.
    program.refresh_from_db(fields=["ended_on"])
    if program.ended_on is not None:
        raise RuleBroken("This home program has ended.", code="program_ended")


@transaction.atomic
def program_pause(
    *,
    program: HomeProgram,
    by: Clinician,
    reason: str,
    now: datetime,
    first_day: date | None = None,
    last_day: date | None = None,
    safety: bool = False,
    note: str = "",
    **return_dose: int | None,
) -> Pause:
    """Nothing is due from `first_day` (today) on; a safety pause stops the phone at once.

    `return_dose` = return_contractions_pct, return_current_pct: what to come back to.
    """
    patient = patient_lock(patient_id=program.patient_id)
    _refuse_ended(program)
    first_day = first_day or local_day(now, zone_or_utc(patient.zone))
    # One that ends today may be followed by another at once.
    going_on = Q(last_day=None) | Q(first_day__lte=last_day or first_day, last_day__gt=first_day)
    if Pause.objects.filter(going_on, program=program).exists():
        raise RuleBroken("This home program is paused already.", code="already_paused")
    if last_day is not None and last_day < first_day:
        message = f"The last day is {first_day} or later."
        raise RuleBroken(message, code="pause_ends_too_early", fields={"last_day": message})
    pause = Pause(
        clinic=program.clinic,
        program=program,
        first_day=first_day,
        last_day=last_day,
        reason=reason,
        safety=safety,
        note=note,
        created_by=by,
        created_at=now,
        **return_dose,
    )
    pause.full_clean()
    pause.save()
    until = f" to {last_day}" if last_day else ""
    decision_keep(
        patient=patient,
        by=by,
        kind=DecisionKind.PAUSE,
        words=f"From {first_day}{until}, {pause.get_reason_display().lower()}. {note}",
        now=now,
        episode=program.episode,
        about=pause.id,
    )
    changes_announce(patient=patient, what=[(ChangeType.PROGRAM, program.id)])
    return pause


@transaction.atomic
def pause_end(*, pause: Pause, by: Clinician, now: datetime) -> None:
    """Today is the last paused day. Safe to repeat."""
    patient = patient_lock(patient_id=pause.program.patient_id)
    last_day = max(local_day(now, zone_or_utc(patient.zone)), pause.first_day)
    pause.refresh_from_db(fields=["last_day"])
    if pause.last_day == last_day:
        return
    if pause.last_day and pause.last_day < last_day:
        raise RuleBroken("This pause is over already.", code="pause_over")
    pause.last_day = last_day
    pause.save(update_fields=["last_day"])
    decision_keep(
        patient=patient,
        by=by,
        kind=DecisionKind.PAUSE_END,
        words=f"Last paused day {pause.last_day}.",
        now=now,
        episode=pause.program.episode,
        about=pause.id,
    )
    changes_announce(patient=patient, what=[(ChangeType.PROGRAM, pause.program_id)])


@transaction.atomic
def program_end(
    *,
    program: HomeProgram,
    by: Clinician,
    reason: str,
    now: datetime,
    ended_on: date | None = None,
    about: UUID | None = None,
) -> None:
    """No bout is due after `ended_on` (today); the episode ends with its program."""
    patient = patient_lock(patient_id=program.patient_id)
    _refuse_ended(program)
    if not reason.strip():
        message = "Say why the home program ends."
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    today = local_day(now, zone_or_utc(patient.zone))
    program.ended_on = ended_on or today
    program.end_reason = reason
    program.save(update_fields=["ended_on", "end_reason"])
    episode = program.episode
    episode.ended_on = max(program.ended_on, episode.starts_on)
    episode.save(update_fields=["ended_on"])
    decision_keep(
        patient=patient,
        by=by,
        kind=DecisionKind.END,
        words=f"Last day {program.ended_on}. {reason}",
        now=now,
        episode=episode,
        about=about,
    )
    changes_announce(patient=patient, what=[(ChangeType.PROGRAM, program.id)])
