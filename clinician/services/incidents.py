"""Incidents: recorded once, added to, closed. Nothing here touches the patient's program."""

from datetime import datetime

from django.db import IntegrityError, transaction

from clinician.models import (
    Incident,
    IncidentClosing,
    IncidentKind,
    IncidentSupplement,
    Stimulator,
    StimulatorAct,
)
from clinician.selectors.dose_words import dose_lines
from clinician.services.lending import stimulator_act
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Episode, Patient
from homeprogram.selectors.visits import revision_measured_against

QUARANTINES = (IncidentKind.BURN, IncidentKind.FAULT)


@transaction.atomic
def incident_record(
    *,
    patient: Patient,
    by: Clinician,
    kind: str,
    happened_at: datetime,
    facts: str,
    told_by: str,
    now: datetime,
    near: str = "unknown",
    episode: Episode | None = None,
    stimulator: Stimulator | None = None,
    **more: object,
) -> Incident:
    """What happened, with the parameters in force that day.

    A burn or a fault puts a stimulator of the clinic into quarantine. `more` = place,
    harm, done, skin_grade, who_was_told, stimulator_told, pads.
    """
    if happened_at > now:
        message = "It cannot have happened at a time to come."
        raise RuleBroken(message, code="incident_to_come", fields={"at": message})
    zone = zone_or_utc(patient.clinic.zone)
    on = local_day(happened_at, zone_or_utc(patient.zone))
    revision = revision_measured_against(episode=episode, on=on) if episode else None
    incident = Incident(
        clinic=patient.clinic,
        patient=patient,
        episode=episode,
        kind=kind,
        happened_at=happened_at,
        near=near,
        facts=facts.strip(),
        told_by=told_by,
        stimulator=stimulator,
        revision=revision,
        parameters=[list(line) for line in dose_lines(revision)] if revision else [],
        recorded_by=by,
        recorded_at=now,
        **more,
    )
    incident.full_clean()
    incident.save()
    if stimulator and kind in QUARANTINES:
        stimulator_act(
            stimulator=stimulator,
            by=by,
            act=StimulatorAct.QUARANTINED,
            on=local_day(now, zone),
            note=f"Incident: {IncidentKind(kind).label}. Keep it, its leads and pads as they are.",
            now=now,
        )
    return incident


def incident_add(
    *, incident: Incident, by: Clinician, text: str, now: datetime, who_was_told: str = ""
) -> IncidentSupplement:
    """Also after it was closed: what is learned late is written down late."""
    if not text.strip():
        message = "Write what was learned or done."
        raise RuleBroken(message, code="supplement_empty", fields={"text": message})
    supplement = IncidentSupplement(
        clinic=incident.clinic,
        incident=incident,
        text=text.strip(),
        who_was_told=who_was_told.strip(),
        by=by,
        at=now,
    )
    supplement.full_clean()
    supplement.save()
    return supplement


def incident_close(
    *, incident: Incident, by: Clinician, reason: str, now: datetime
) -> IncidentClosing:
    if not reason.strip():
        message = "Say what was found and why nothing more is to be done."
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    closing = IncidentClosing(
        clinic=incident.clinic, incident=incident, reason=reason.strip(), by=by, at=now
    )
    closing.full_clean(validate_unique=False)
    try:
        with transaction.atomic():
            closing.save()
    except IntegrityError:
        message = "Somebody closed this incident already."
        raise RuleBroken(message, code="incident_closed") from None
    return closing
