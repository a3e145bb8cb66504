"""Rebuilds the rows that are read from entries, and proves that they are what they were."""

from collections import Counter
from uuid import UUID

from django.db import transaction
from django.db.models import Model

from homeprogram.models import Bout, PadNews, PatientDay, SkinCheck
from homeprogram.services.changes import patient_lock
from homeprogram.services.projections import patient_rebuild

PROJECTIONS: tuple[type[Model], ...] = (Bout, SkinCheck, PadNews, PatientDay)


@transaction.atomic
def record_rebuild(*, patient_id: UUID) -> int:
    """All of one patient's rows anew; how many there are."""
    patient_rebuild(patient=patient_lock(patient_id=patient_id))
    return sum(len(rows) for rows in _rows(patient_id).values())


@transaction.atomic
def record_check(*, patient_id: UUID) -> Counter:
    """How many rows of each kind differ from what the entries say. Changes nothing."""
    patient = patient_lock(patient_id=patient_id)
    stored = _rows(patient_id)
    undo = transaction.savepoint()
    patient_rebuild(patient=patient)
    rebuilt = _rows(patient_id)
    transaction.savepoint_rollback(undo)
    return Counter({kind: _differing(stored[kind], rebuilt[kind]) for kind in stored})


def _rows(patient_id: UUID) -> dict[str, dict]:
    """{kind: {natural key: columns}}, without the number that a rebuild draws anew."""
    return {
        model.__name__: dict(map(_keyed, model.objects.filter(patient_id=patient_id).values()))
        for model in PROJECTIONS
    }


def _keyed(row: dict) -> tuple[object, dict]:
    del row["id"]
    return row.get("entry_id") or (row["episode_id"], row["day"]), row


def _differing(stored: dict, rebuilt: dict) -> int:
    """Rows that are on one side only, or not the same on both."""
    return sum(stored.get(key) != rebuilt.get(key) for key in stored.keys() | rebuilt.keys())
