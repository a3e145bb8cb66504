"""The patient, the clinic, and whoever of its people the record names."""

from collections.abc import Collection, Iterator

from clinician.selectors.fhir.rows import Rows
from clinician.selectors.fhir.values import URI, Part, day, resource, text, told, urn


def patient_and_clinic(rows: Rows) -> Iterator[Part]:
    """No sex, no address, no number of a health service: we hold none."""
    patient, clinic = rows.patient, rows.patient.clinic
    yield resource(
        "Patient",
        patient.id,
        identifier=[{"system": URI, "value": urn(patient.id)}],
        active=patient.archived_at is None,
        name=_name(patient.name),
        telecom=_telephone(patient.telephone),
        birthDate=day(patient.born_on),
        managingOrganization=rows.clinic,
    )
    yield resource(
        "Organization",
        clinic.id,
        name=text(clinic.name),
        telecom=_telephone(clinic.phone_number),
    )


def practitioners(rows: Rows, named: Collection[str]) -> Iterator[Part]:
    """Only those whom another resource names: the clinic's other people are nobody's business."""
    for person in rows.people.values():
        if urn(person.id) in named:
            yield resource("Practitioner", person.id, name=_name(person.name))


def _name(name: str) -> list[Part]:
    """As it is held, in one piece: which part is the family name, nobody told us."""
    words = told(text=text(name))
    return [words] if words else []


def _telephone(number: str) -> list[Part]:
    return [{"system": "phone", "value": text(number)}] if text(number) else []
