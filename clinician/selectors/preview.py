"""What other thresholds would have raised in the past 28 days, beside those that stand."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from clinician.selectors import reasons
from homeprogram.calc.flag_replay import REPLAYED
from homeprogram.calc.flag_thresholds import effective_rules
from homeprogram.models import Clinic, Patient
from homeprogram.selectors.flag_replay import REPLAY_DAYS, flags_replayed, openings_kept

PATIENTS_MOST = 24  # a tenth of a second each; a page must not keep its reader waiting


@dataclass(frozen=True, slots=True)
class Preview:
    rows: list[tuple[str, int, int]]  # rule, as it stands, as typed
    stands: int
    typed: int
    patients: int
    of: int
    silences: int  # `no_contact` as it came up; other hours cannot be tried
    days: int = REPLAY_DAYS


def preview_clinic(*, clinic: Clinic, rules: dict, now: datetime) -> Preview:
    """Over the clinic's current patients, each with their own thresholds on top."""
    current = Patient.objects.filter(clinic=clinic, archived_at=None)
    some = list(current.select_related("clinic").order_by("id")[:PATIENTS_MOST])
    found = flags_replayed(
        patients=some,
        by=[
            lambda one: effective_rules(clinic.rules, one.rules),
            lambda one: effective_rules(rules, one.rules),
        ],
        now=now,
    )
    return _preview(found, some, current.count(), now)


def preview_patient(*, patient: Patient, rules: dict, now: datetime) -> Preview:
    clinic = patient.clinic.rules
    found = flags_replayed(
        patients=[patient],
        by=[
            lambda one: effective_rules(clinic, one.rules),
            lambda _: effective_rules(clinic, rules),
        ],
        now=now,
    )
    return _preview(found, [patient], 1, now)


def _preview(
    found: Sequence[Counter], patients: Sequence[Patient], of: int, now: datetime
) -> Preview:
    stands, typed = found
    kept = openings_kept(patients=patients, reason="no_contact", now=now)
    return Preview(
        rows=[
            (reasons.name(one), stands[one], typed[one])
            for one in REPLAYED
            if stands[one] or typed[one]
        ],
        stands=stands.total(),
        typed=typed.total(),
        patients=len(patients),
        of=of,
        silences=kept,
    )
