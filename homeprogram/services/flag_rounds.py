"""The clock's round of flags: each patient once a night, and when a day closes or news came.

Read in bulk, without a lock and mostly without entries. Only a patient whose cards came
out otherwise is locked and judged again, as in a push.
"""

import logging
from collections import defaultdict
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import Q, QuerySet

from homeprogram.calc.flag_thresholds import effective_rules
from homeprogram.models import Patient
from homeprogram.selectors.log import entries_received_by_patient
from homeprogram.selectors.pads import pads_read
from homeprogram.selectors.plans import contexts
from homeprogram.services.flags import flags_by_time, flags_stand, patient_flags_refresh

log = logging.getLogger(__name__)
CHUNK = 250
# How long a chunk is one clock's; after that another takes it up. Judging twice changes nothing.
LEASE = timedelta(minutes=10)


@dataclass(slots=True)
class Tick:
    """What one round of the flags did."""

    patients: int = 0
    changed: int = 0
    failed: int = 0


@dataclass(frozen=True, slots=True)
class Taken:
    """`news` = of whom something was announced since, not only time passed."""

    patients: list[Patient]
    news: frozenset[UUID]


def flags_tick(*, now: datetime, progress: Callable[[int, int], None] | None = None) -> Tick:
    """Every patient who is due; one that fails stops no other and is tried again later."""
    tick = Tick()
    while (taken := _take(now)).patients:
        next_at: dict[datetime, list[UUID]] = defaultdict(list)
        for patient_id, turn in _looked(taken.patients, taken.news, now, tick):
            next_at[turn].append(patient_id)
        for turn, ids in next_at.items():
            mine = Patient.objects.filter(id__in=ids, flags_next_at=now + LEASE)
            mine.update(flags_next_at=turn)
        tick.patients += len(taken.patients)
        if progress:
            progress(tick.patients, tick.patients + _due(now).count())
    return tick


def _due(now: datetime) -> QuerySet[Patient]:
    return Patient.objects.filter(archived_at=None).filter(
        Q(flags_next_at=None) | Q(flags_next_at__lte=now)
    )


@transaction.atomic
def _take(now: datetime) -> Taken:
    """The next ones, ours until the lease ends; a patient whose push is on is left for later."""
    due = _due(now).select_for_update(skip_locked=True, of=("self",)).order_by("id")
    rows = list(due.values_list("id", "flags_next_at")[:CHUNK])
    ids = [patient_id for patient_id, _ in rows]
    Patient.objects.filter(id__in=ids).update(flags_next_at=now + LEASE)
    return Taken(
        list(Patient.objects.filter(id__in=ids).select_related("clinic").order_by("id")),
        frozenset(patient_id for patient_id, next_at in rows if next_at is None),
    )


def _looked(
    patients: Sequence[Patient], news: Collection[UUID], now: datetime, tick: Tick
) -> list[tuple[UUID, datetime]]:
    """When each is to be looked at next; those that failed are left to the lease."""
    try:
        return _judged(patients, news, now, tick)
    except Exception as error:  # noqa: BLE001  counted, told, and never another's problem
        if len(patients) == 1:
            return _alone(patients[0], now, error, tick)
        return [one for patient in patients for one in _looked([patient], news, now, tick)]


def _judged(
    patients: Sequence[Patient], news: Collection[UUID], now: datetime, tick: Tick
) -> list[tuple[UUID, datetime]]:
    """By time alone where that can tell; with their entries who had news or a card to lose."""
    rules = [effective_rules(one.clinic.rules, one.rules) for one in patients]
    days = max(one.window_days for one in rules)
    known = {
        context.patient.id: context
        for context in contexts(patients=patients, now=now, days_back=days, judging=True)
    }
    looks = {key: flags_by_time(context=known[key]) for key in known if key not in news}
    asked = [key for key in known if key not in looks or looks[key].stand is None]
    since = now - timedelta(days=days)
    pads = pads_read(patients=asked, now=now) if asked else {}
    for key, entries in entries_received_by_patient(patients=asked, since=since).items():
        known[key].pads = pads
        looks[key] = flags_stand(context=known[key], entries=entries)
    for key, look in looks.items():
        if not look.stand:
            patient_flags_refresh(patient_id=key, now=now)
            tick.changed += 1
    return [(key, look.next_turn) for key, look in looks.items()]


def _alone(patient: Patient, now: datetime, error: Exception, tick: Tick) -> list:
    """What can't be read in bulk is judged as in a push, which says so on a card."""
    tick.failed += 1
    # The kind only: a message or a traceback can quote the record.
    log.error("flags of patient %s: %s", patient.id, type(error).__name__)
    try:
        patient_flags_refresh(patient_id=patient.id, now=now)
    except Exception as again:  # noqa: BLE001  the lease ends, and the round after that tries again
        log.error("flags of patient %s: %s", patient.id, type(again).__name__)
    return []
