"""The clock's work: flags that come from silence need nobody's request."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from homeprogram.selectors.roster import current_patient_ids
from homeprogram.services.flags import patient_flags_refresh

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Tick:
    """What one round of the clock did."""

    patients: int
    failed: int


def flags_tick(*, now: datetime, progress: Callable[[int, int], None] | None = None) -> Tick:
    """Every current patient's flags once; a patient that fails stops no other."""
    ids = current_patient_ids()
    failed = 0
    for place, patient_id in enumerate(ids, start=1):
        try:
            patient_flags_refresh(patient_id=patient_id, now=now)
        except Exception as error:  # noqa: BLE001  counted, told, and never another's problem
            failed += 1
            # The kind only: a message or a traceback can quote the record.
            log.error("flags of patient %s: %s", patient_id, type(error).__name__)
        if progress:
            progress(place, len(ids))
    return Tick(len(ids), failed)
