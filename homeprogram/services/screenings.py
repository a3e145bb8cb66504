"""Screening and surgeon's limits: what has to be known before a dose."""

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date, datetime

from django.db import transaction

from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.guidance import screening_conditions
from homeprogram.calc.screening import Answer, judge, missing_answers
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Episode, Screening, SurgeonLimit
from homeprogram.selectors.screenings import standing_of_episode
from homeprogram.services.changes import patient_lock

REFUSALS = {
    "screening_missing": "Screen this limb first: no screening is on record.",
    "screening_do_not_use": "The latest screening says do not use: {blocking}.",
    "screening_due": "A stop report or a change of health came after the latest screening. "
    "Screen again first.",
}


def screening_required(*, episode: Episode, now: datetime) -> None:
    """Refuse a dose that no screening stands behind. Needs the patient's lock."""
    standing = standing_of_episode(episode=episode, now=now)
    if code := standing.refusal:
        names = "; ".join(condition.name for condition in standing.blocking)
        raise RuleBroken(REFUSALS[code].format(blocking=names), code=code)


@transaction.atomic
def screening_record(
    *,
    episode: Episode,
    by: Clinician,
    on: date,
    occasion: str,
    answers: Mapping[str, Answer],
    now: datetime,
) -> Screening:
    """A complete screening with its outcome; raises RuleBroken with a sentence per gap."""
    conditions = screening_conditions()
    if missing := missing_answers(answers, conditions):
        raise RuleBroken(
            "Some answers are missing or need a reason.",
            code="screening_incomplete",
            fields=missing,
        )
    _refuse_days_to_come(answers, on, local_day(now, zone_or_utc(episode.patient.zone)))
    patient_lock(patient_id=episode.patient_id)  # so that no dose slips past this outcome
    judged = judge(answers, conditions)
    screening = Screening(
        clinic=episode.clinic,
        episode=episode,
        on=on,
        occasion=occasion,
        answers={condition.code: _stored(answers[condition.code]) for condition in conditions},
        outcome=judged.outcome.value,
        recorded_by=by,
        recorded_at=now,
    )
    screening.full_clean()
    screening.save(force_insert=True)
    return screening


def _refuse_days_to_come(answers: Mapping[str, Answer], on: date, today: date) -> None:
    fields = {}
    if on > today:
        fields["on"] = "A screening cannot be on a day to come."
    for code, answer in answers.items():
        if answer.opinion_on and answer.opinion_on > on:
            fields[code] = "The specialist's opinion is later than the screening."
    if fields:
        raise RuleBroken(" ".join(fields.values()), code="screening_day_to_come", fields=fields)


def _stored(answer: Answer) -> dict:
    said = asdict(answer)
    said["opinion_on"] = answer.opinion_on.isoformat() if answer.opinion_on else None
    return said


@transaction.atomic
def surgeon_limit_record(
    *,
    episode: Episode,
    by: Clinician,
    kind: str,
    detail: str,
    said_by: str,
    first_day: date,
    now: datetime,
    last_day: date | None = None,
    from_deg: float | None = None,
    to_deg: float | None = None,
) -> SurgeonLimit:
    """What the surgeon allows or forbids, as told, and for which days."""
    if last_day is not None and last_day < first_day:
        message = "The last day is before the first."
        raise RuleBroken(message, code="days_in_wrong_order", fields={"last_day": message})
    if (from_deg is None) != (to_deg is None) or (from_deg is not None and from_deg > to_deg):
        message = "Give both angles, the smaller one first."
        raise RuleBroken(message, code="angles_in_wrong_order", fields={"to_deg": message})
    limit = SurgeonLimit(
        clinic=episode.clinic,
        episode=episode,
        kind=kind,
        detail=detail,
        said_by=said_by,
        first_day=first_day,
        last_day=last_day,
        from_deg=from_deg,
        to_deg=to_deg,
        recorded_by=by,
        recorded_at=now,
    )
    limit.full_clean()
    limit.save()
    return limit


@transaction.atomic
def surgeon_limit_end(*, limit: SurgeonLimit, last_day: date) -> None:
    """The limit no longer holds after that day; it stays on record."""
    limit.last_day = max(last_day, limit.first_day)
    limit.save(update_fields=["last_day"])
