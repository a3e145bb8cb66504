"""Patients, consent and episodes."""

from datetime import date, datetime

from django.db import IntegrityError, transaction

from homeprogram.errors import RuleBroken
from homeprogram.models import (
    ChangeType,
    Clinician,
    Consent,
    Episode,
    Pathway,
    Patient,
)
from homeprogram.services.changes import change_announce
from homeprogram.services.clinics import zone_check


@transaction.atomic
def patient_add(
    *,
    by: Clinician,
    name: str,
    now: datetime,
    zone: str = "",
    born_on: date | None = None,
    telephone: str = "",
) -> Patient:
    """A patient of the clinician's own clinic, in their care."""
    zone_check(zone or by.clinic.zone)
    patient = Patient(
        clinic=by.clinic,
        name=name,
        born_on=born_on,
        telephone=telephone,
        zone=zone or by.clinic.zone,
        clinician=by,
        created_at=now,
    )
    patient.full_clean()
    patient.save()
    change_announce(patient_id=patient.id, change_type=ChangeType.TEXTS, object_id=by.clinic_id)
    return patient


@transaction.atomic
def consent_record(
    *,
    patient: Patient,
    by: Clinician,
    given_on: date,
    now: datetime,
    guardian_name: str = "",
    helper_name: str = "",
) -> Consent:
    """Replaces an earlier consent in force, which stays on record as withdrawn."""
    in_force = Consent.objects.filter(patient=patient, withdrawn_on=None)
    if in_force.filter(given_on__gt=given_on).exists():
        message = "A later consent is in force."
        raise RuleBroken(message, code="consent_later", fields={"given_on": message})
    in_force.update(withdrawn_on=given_on)
    consent = Consent(
        clinic=patient.clinic,
        patient=patient,
        given_on=given_on,
        guardian_name=guardian_name,
        helper_name=helper_name,
        recorded_by=by,
        recorded_at=now,
    )
    consent.full_clean()
    consent.save()
    return consent


@transaction.atomic
def episode_add(
    *,
    patient: Patient,
    limb: str,
    pathway: str,
    starts_on: date,
    now: datetime,
    procedure: str = "",
    surgery_on: date | None = None,
    surgeon_limits: str = "",
) -> Episode:
    """A new episode of care; at most one is open per limb."""
    if pathway == Pathway.POST_OPERATIVE and surgery_on is None:
        message = "After surgery the date of surgery is needed."
        raise RuleBroken(message, code="surgery_date_missing", fields={"surgery_on": message})
    if Episode.objects.filter(patient=patient, limb=limb, ended_on=None).exists():
        message = f"There is an open episode for the {limb} limb. End it first."
        raise RuleBroken(message, code="episode_open", fields={"limb": message})
    episode = Episode(
        clinic=patient.clinic,
        patient=patient,
        limb=limb,
        pathway=pathway,
        procedure=procedure,
        surgery_on=surgery_on,
        surgeon_limits=surgeon_limits,
        starts_on=starts_on,
        created_at=now,
    )
    episode.full_clean(validate_constraints=False)
    try:
        with transaction.atomic():
            episode.save()
    except IntegrityError:
        raise RuleBroken(
            f"There is an open episode for the {limb} limb.", code="episode_open"
        ) from None
    return episode
