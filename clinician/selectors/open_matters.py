"""What waits for somebody: an open card, an open incident, a call that is owed."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from clinician.selectors import order
from clinician.selectors.contacts import calls_owed, owed_in_short
from clinician.selectors.incidents import incident_in_short, incidents_open
from homeprogram.models import Flag, FlagState, Patient
from homeprogram.selectors.at_once import Columns, Questions, rows_about

Matters = dict[UUID, list[str]]  # by patient, oldest first


@dataclass(frozen=True, slots=True)
class OpenMatters:
    flags: dict[UUID, list[Flag]]  # by patient, gravest first, then oldest first
    incidents: Matters
    calls: Matters


def open_matters(*, patients: Collection[Patient], now: datetime) -> OpenMatters:
    """In one question."""
    found = rows_about(_asked, [one.id for one in patients])
    return OpenMatters(
        flags=_flags(found["flags"]),
        incidents=_by_patient(found["incidents"], incident_in_short, now),
        calls=_by_patient(found["calls"], owed_in_short, now),
    )


def _asked(patients: Sequence[UUID]) -> Questions:
    return {
        "flags": Flag.objects.filter(patient__in=patients, state=FlagState.OPEN),
        "incidents": Columns(
            incidents_open(patients=patients), ("patient_id", "recorded_at", "kind")
        ),
        "calls": Columns(calls_owed(patients=patients), ("patient_id", "at", "about")),
    }


def _flags(cards: Sequence[Flag]) -> dict[UUID, list[Flag]]:
    flags: dict[UUID, list[Flag]] = defaultdict(list)
    for flag in sorted(cards, key=lambda f: (order.place(f.reason), f.opened_at, f.id)):
        flags[flag.patient_id].append(flag)
    return flags


def _by_patient(rows: list[list], in_short, now: datetime) -> Matters:
    matters: Matters = defaultdict(list)
    for patient_id, at, what in sorted(rows, key=lambda row: row[1]):
        matters[patient_id].append(in_short(what, at, now))
    return matters
