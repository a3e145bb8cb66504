"""What waits for somebody and is no flag: an open incident, a call that is owed."""

from collections import defaultdict
from collections.abc import Collection
from datetime import datetime
from uuid import UUID

from clinician.selectors.contacts import calls_owed, owed_in_short
from clinician.selectors.incidents import incident_in_short, incidents_open
from homeprogram.models import Patient
from homeprogram.selectors.at_once import Columns, rows_at_once

Matters = dict[UUID, list[str]]  # by patient, oldest first


def open_matters(*, patients: Collection[Patient], now: datetime) -> tuple[Matters, Matters]:
    """Incidents and owed calls, in one question."""
    found = rows_at_once(
        incidents=Columns(incidents_open(patients=patients), ("patient_id", "recorded_at", "kind")),
        calls=Columns(calls_owed(patients=patients), ("patient_id", "at", "about")),
    )
    return (
        _by_patient(found["incidents"], incident_in_short, now),
        _by_patient(found["calls"], owed_in_short, now),
    )


def _by_patient(rows: list[list], in_short, now: datetime) -> Matters:
    matters: Matters = defaultdict(list)
    for patient_id, at, what in sorted(rows, key=lambda row: row[1]):
        matters[patient_id].append(in_short(what, at, now))
    return matters
