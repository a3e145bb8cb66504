"""Strength tests: entered once, computed once, kept as they were shown."""

from collections.abc import Sequence
from datetime import date, datetime

from django.db import transaction

from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.strength_check import course_rules, strength_check
from homeprogram.errors import RuleBroken
from homeprogram.models import ChangeType, Clinician, Episode, Patient, StrengthTest
from homeprogram.services.changes import change_announce, flags_look_soon

# What a surgeon asks first, kept beside the test.
MEASURES = (
    "flexion_deg",
    "extension_deg",
    "extension_lag_deg",
    "swelling",
    "knee_pain",
    "questionnaire",
    "questionnaire_score",
)


@transaction.atomic
def strength_test_record(
    *,
    episode: Episode,
    by: Clinician,
    on: date,
    now: datetime,
    request: dict | None,
    maximal: bool,
    cleared_on: date | None = None,
    knee_angle_deg: float | None = None,
    observed_contraction: str = "",
    evoked_at: Sequence[dict] = (),
    measures: dict | None = None,
) -> StrengthTest:
    """Store the trials and what the strength check makes of them today.

    A maximal test needs the date of its clearance and the angle. Without trials
    an observed contraction stands in. `evoked_at` = the intensity of each channel
    during the evoked measure. Raises RuleBroken and ImpossibleStrength.
    """
    if maximal:
        _refuse_uncleared(cleared_on, knee_angle_deg, on)
    elif request and request.get("involved"):
        message = "Trials are maximal efforts. If none was asked for, leave them empty."
        raise RuleBroken(message, code="trials_not_maximal", fields={"maximal": message})
    if not request and not observed_contraction and not measures:
        raise RuleBroken("Enter trials, an observed contraction or a measure.", code="test_empty")
    _refuse_day_to_come(episode, on, now)
    rules = course_rules(episode.clinic.course)
    test = StrengthTest(
        clinic=episode.clinic,
        episode=episode,
        on=on,
        maximal=maximal,
        cleared_on=cleared_on,
        knee_angle_deg=knee_angle_deg,
        request=request or {},
        evoked_at=list(evoked_at) or None,
        result=strength_check(request, rules=rules) if request else {},
        observed_contraction=observed_contraction,
        recorded_by=by,
        recorded_at=now,
        **{name: value for name, value in (measures or {}).items() if name in MEASURES},
    )
    test.full_clean()
    test.save()
    flags_look_soon(patients=Patient.objects.filter(id=episode.patient_id))
    return test


def _refuse_day_to_come(episode: Episode, on: date, now: datetime) -> None:
    if on > local_day(now, zone_or_utc(episode.patient.zone)):
        message = "A test cannot be on a day to come."
        raise RuleBroken(message, code="test_day_to_come", fields={"on": message})


def _refuse_uncleared(cleared_on: date | None, angle: float | None, on: date) -> None:
    fields = {}
    if cleared_on is None:
        fields["cleared_on"] = "A maximal test needs the date on which it was cleared."
    elif cleared_on > on:
        fields["cleared_on"] = "The clearance is later than the test."
    if angle is None:
        fields["knee_angle_deg"] = "A maximal test needs the knee angle."
    if fields:
        raise RuleBroken(" ".join(fields.values()), code="test_not_cleared", fields=fields)


@transaction.atomic
def strength_test_share(*, test: StrengthTest, now: datetime) -> None:
    """Let the patient see this test on the phone."""
    if test.shared_at is not None:
        return
    test.shared_at = now
    test.save(update_fields=["shared_at"])
    change_announce(
        patient_id=test.episode.patient_id,
        change_type=ChangeType.STRENGTH_TEST,
        object_id=test.id,
    )
