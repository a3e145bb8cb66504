"""Many patients like one, in bulk, on any database."""

from copy import copy
from uuid import UUID, uuid4

from django.db.models import Model

from homeprogram.models import (
    Episode,
    Flag,
    HomeProgram,
    Patient,
    PatientDay,
    Phone,
    Revision,
    RevisionOnPhone,
)

# Each table, and how its rows name their patient; what is named comes first.
TABLES: dict[type[Model], str] = {
    Patient: "id",
    Phone: "patient",
    Episode: "patient",
    HomeProgram: "patient",
    Revision: "program__patient",
    RevisionOnPhone: "revision__program__patient",
    PatientDay: "patient",
    Flag: "patient",
}


def copies_add(patient: Patient, count: int) -> None:
    """So many more of this patient: phones, programs, rows of days and cards, no entries."""
    people: list[dict[UUID, UUID]] = [{} for _ in range(count)]  # a row's id -> its copy's
    for model, whose in TABLES.items():
        rows = list(model.objects.filter(**{whose: patient.id}))
        model.objects.bulk_create(
            (_copied(row, ids) for ids in people for row in rows), batch_size=500
        )


def _copied(row: Model, ids: dict[UUID, UUID]) -> Model:
    made = copy(row)
    for field in row._meta.concrete_fields:
        value = getattr(row, field.attname)
        if field.primary_key and not field.remote_field:
            fresh = uuid4() if isinstance(value, UUID) else None
            ids[value] = fresh
        elif isinstance(value, UUID):
            fresh = ids.get(value, value)
        else:
            fresh = uuid4().hex if field.unique else value
        setattr(made, field.attname, fresh)
    return made
