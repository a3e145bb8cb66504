"""One patient's record as an HL7 FHIR R4 (4.0.1) Bundle, for other systems."""

from datetime import datetime

from clinician.selectors.fhir.concerns import detected_issues, holds
from clinician.selectors.fhir.desk import strength_tests, visits
from clinician.selectors.fhir.entries import entries
from clinician.selectors.fhir.people import patient_and_clinic, practitioners
from clinician.selectors.fhir.programs import programs, stimulators
from clinician.selectors.fhir.rows import Rows, whole_record
from clinician.selectors.fhir.values import Part, moment, references_in, urn
from clinician.selectors.fhir.words import notes, reminders
from homeprogram.models import Patient
from homeprogram.selectors.one_moment import one_moment

MEDIA_TYPE = "application/fhir+json; fhirVersion=4.0"
GROUPS = (
    patient_and_clinic,
    stimulators,
    programs,
    entries,
    strength_tests,
    visits,
    detected_issues,
    holds,
    reminders,
    notes,
)


def record_bundle(*, patient: Patient, now: datetime) -> Part:
    """As of one moment; every reference in it leads to another resource in it."""
    with one_moment():
        rows = whole_record(patient=patient, now=now)
    return bundle_of(rows, now)


def bundle_of(rows: Rows, now: datetime) -> Part:
    made = [one for group in GROUPS for one in group(rows)]
    named = {name for one in made for name in references_in(one)}
    made += practitioners(rows, named)
    return {
        "resourceType": "Bundle",
        "type": "collection",
        "timestamp": moment(now),
        "entry": [{"fullUrl": urn(one["id"]), "resource": one} for one in made],
    }
