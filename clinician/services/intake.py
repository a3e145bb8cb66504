"""A patient's first visit at the desk, written in one transaction."""

from datetime import date, datetime

from django.db import transaction

from homeprogram.models import Clinician, Patient
from homeprogram.services.patients import consent_record, episode_add, patient_add


@transaction.atomic
def patient_intake(
    *,
    by: Clinician,
    now: datetime,
    name: str,
    born_on: date,
    telephone: str,
    zone: str,
    given_on: date,
    guardian_name: str,
    helper_name: str,
    **episode: object,
) -> Patient:
    """The patient, their consent and their first episode, or none of it."""
    patient = patient_add(
        by=by, name=name, born_on=born_on, telephone=telephone, zone=zone, now=now
    )
    consent_record(
        patient=patient,
        by=by,
        given_on=given_on,
        guardian_name=guardian_name,
        helper_name=helper_name,
        now=now,
    )
    episode_add(patient=patient, starts_on=now.date(), now=now, **episode)
    return patient
