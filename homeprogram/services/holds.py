"""Holds: placed by entries, ended only by a clinician's lift."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db import transaction

from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.holds import hold_raised_by
from homeprogram.errors import RuleBroken
from homeprogram.models import ChangeType, Clinician, DecisionKind, Entry, Hold, Lift, Patient
from homeprogram.services.changes import changes_announce, patient_lock
from homeprogram.services.decisions import decision_keep


def holds_place(*, patient: Patient, entries: Iterable[Entry], now: datetime) -> list[Hold]:
    """One hold for every new entry that raises one. Needs the patient's lock."""
    today = local_day(now, zone_or_utc(patient.zone))
    holds = []
    for entry in entries:
        raised = hold_raised_by(entry.kind, entry.payload, limb_known=entry.episode_id is not None)
        if raised:
            holds.append(
                Hold(
                    clinic_id=patient.clinic_id,
                    patient=patient,
                    episode_id=entry.episode_id,
                    entry=entry,
                    scope=raised.scope,
                    reason=raised.reason,
                    # A phone's wrong clock must not put the hold off.
                    first_day=min(entry.for_date, today),
                    placed_at=now,
                )
            )
    if holds:
        Hold.objects.bulk_create(holds)
        changes_announce(patient=patient, what=[(ChangeType.HOLD, hold.id) for hold in holds])
    return holds


@transaction.atomic
def hold_lift(
    *, patient: Patient, by: Clinician, holds: Sequence[Hold], reason: str, now: datetime
) -> Lift:
    """End these holds and no others: what arrived since keeps its own."""
    locked = patient_lock(patient_id=patient.id)
    if not reason.strip():
        message = "Say why the hold may be lifted."
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    standing = Hold.objects.filter(patient=locked, lift=None, id__in=[hold.id for hold in holds])
    if not standing.exists():
        raise RuleBroken("These holds were lifted already.", code="hold_not_standing")
    lift = Lift(
        clinic=locked.clinic, patient=locked, reason=reason.strip(), lifted_by=by, lifted_at=now
    )
    lift.full_clean()
    lift.save()
    standing.update(lift=lift)
    decision_keep(
        patient=locked,
        by=by,
        kind=DecisionKind.LIFT,
        words=lift.reason,
        now=now,
        about=lift.id,
    )
    changes_announce(patient=locked, what=[(ChangeType.LIFT, lift.id)])
    return lift
