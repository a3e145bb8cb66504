"""The file keeps to FHIR R4: models, value sets, references, units; nothing is lost on the way.

fhir.resources has no models of 4.0.1 any more; those of R4B (4.3.0) say the same of every kind
of resource that we write.
"""

import json
from collections import defaultdict
from datetime import UTC, datetime

import pytest
from django.db import transaction
from ucumvert import get_ucum_parser

from clinician.selectors.fhir.bundle import record_bundle
from clinician.selectors.fhir.values import UNITS
from clinician.services.signed_notes import addendum_sign
from tests.support.fhir import displays, faults, kinds, quantities, read, resources, written_again
from tests.support.whole_patient import whole_patient

EVERY_KIND = {
    "CarePlan",
    "Communication",
    "Composition",
    "DetectedIssue",
    "Device",
    "DeviceUseStatement",
    "Flag",
    "Observation",
    "Organization",
    "Patient",
    "Practitioner",
    "Procedure",
    "ServiceRequest",
}


@pytest.fixture(scope="module")
def bundle(django_db_setup, django_db_blocker) -> dict:
    """Three weeks with something of every kind; what is made for it is undone."""
    with django_db_blocker.unblock(), transaction.atomic():
        now = datetime.now(tz=UTC)
        patient, clinician = whole_patient(days=21, now=now)
        note = patient.signed_notes.get()
        addendum_sign(note=note, by=clinician, text="And <walks> & runs.\nSlowly.", now=now)
        yield json.loads(json.dumps(record_bundle(patient=patient, now=now), allow_nan=False))
        transaction.set_rollback(True)


def test_every_kind_that_is_promised_is_there(bundle):
    assert set(kinds(bundle)) == EVERY_KIND


def test_every_resource_fits_the_standards_models(bundle):
    assert len(read(bundle).entry) == len(bundle["entry"])


def test_read_and_written_again_it_is_the_same_document(bundle):
    assert written_again(read(bundle)) == bundle


def test_codes_are_of_the_standards_lists_and_references_lead_to_what_they_may(bundle):
    assert faults(bundle) == []


def test_a_fault_would_be_found(bundle):
    broken = json.loads(json.dumps(bundle))
    for one in resources(broken, "Procedure")[:1]:
        one["status"] = "done"
        one["basedOn"] = [one["subject"]]
    for one in resources(broken, "Flag")[:1]:
        one["subject"]["reference"] = "urn:uuid:00000000-0000-4000-8000-000000000000"

    found = " ".join(faults(broken))

    assert "Procedure.status = done" in found
    assert "Procedure.basedOn leads to a Patient" in found
    assert "Flag.subject leads out of the bundle" in found


def test_every_address_is_the_id_of_its_resource(bundle):
    assert [one["fullUrl"] for one in bundle["entry"]] == [
        f"urn:uuid:{one['resource']['id']}" for one in bundle["entry"]
    ]


@pytest.mark.parametrize("unit", sorted({code for _, code in UNITS.values()}))
def test_every_unit_is_ucum(unit):
    get_ucum_parser().parse(unit)


def test_every_number_has_a_unit_of_that_list(bundle):
    found = quantities(bundle)

    assert found
    assert {one["system"] for one in found} == {"http://unitsofmeasure.org"}
    assert {one["code"] for one in found} <= {code for _, code in UNITS.values()}


def test_a_code_of_a_list_means_one_thing(bundle):
    meant = defaultdict(set)
    for code, display in displays(bundle):
        meant[code].add(display)

    assert meant
    assert {code: words for code, words in meant.items() if len(words) > 1} == {}


def test_no_code_of_a_licensed_system_is_in_it(bundle):
    text = json.dumps(bundle)

    assert "snomed" not in text.lower()
    assert text.count("http://loinc.org") == text.count('"72514-3"')


def test_the_stimulator_has_no_name(bundle):
    (device,) = resources(bundle, "Device")

    assert device.keys() == {"resourceType", "id", "type", "property"}
