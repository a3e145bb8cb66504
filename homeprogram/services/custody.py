"""Entries in custody: looked at again by us after an upgrade, or settled by a person."""

from collections.abc import Callable, Sequence
from datetime import datetime
from itertools import groupby
from uuid import UUID

from django.db import transaction

from homeprogram.calc.flag_thresholds import effective_rules
from homeprogram.calc.text_forms import digest
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, HeldEntry
from homeprogram.selectors import log
from homeprogram.selectors.plans import context_of
from homeprogram.services.changes import patient_lock
from homeprogram.services.entries import entries_take
from homeprogram.services.flags import patient_flags_evaluate
from homeprogram.services.intake import Item, items_read


@transaction.atomic
def held_settle(*, held: HeldEntry, by: Clinician, note: str, now: datetime) -> None:
    """A clinician read what came and says what was done about it.

    The text stays as it was received for ever. Its day is judged again: nothing
    of it is unheard any more.
    """
    if not note.strip():
        message = "Say what you found and did."
        raise RuleBroken(message, code="reason_missing", fields={"note": message})
    patient = patient_lock(patient_id=held.patient_id)
    changed = HeldEntry.objects.filter(id=held.id, settled_at=None).update(
        settled_at=now, settled_by=by, settled_note=note.strip()
    )
    if not changed:
        raise RuleBroken("This entry is settled already.", code="held_settled")
    patient_flags_evaluate(patient=patient, now=now)


def held_use(*, held: HeldEntry, by: Clinician, now: datetime) -> None:
    """A clinician wants it in the log as it is: of a replaced phone, or clear by now."""
    if not _look_again(held.patient_id, [held.id], now=now, by=by):
        held.refresh_from_db()
        if held.settled_at:
            raise RuleBroken("This entry is settled already.", code="held_settled")
        raise RuleBroken(
            f"It still cannot be used: {held.message} Write down what you found and settle it.",
            code="held_unusable",
        )


def held_look_again(*, now: datetime, progress: Callable[[int, int], None] | None = None) -> int:
    """Try everything in custody that a newer program may understand; how much was taken in."""
    rows = log.held_to_look_at_again()
    taken = looked = 0
    for patient_id, group in groupby(rows, key=lambda held: held.patient_id):
        ids = [held.id for held in group]
        taken += _look_again(patient_id, ids, now=now)
        looked += len(ids)
        if progress:
            progress(looked, len(rows))
    return taken


def _as_it_came(held: HeldEntry) -> bool:
    """False for a text that no database can hold and that was kept escaped."""
    return digest(held.raw) == held.sha256


@transaction.atomic
def _look_again(
    patient_id: UUID, held_ids: Sequence[UUID], *, now: datetime, by: Clinician | None = None
) -> int:
    """How many of these went into the log; the others stay held as they were."""
    patient = patient_lock(patient_id=patient_id)
    rules = effective_rules(patient.clinic.rules, patient.rules)
    context = context_of(patient=patient, now=now, days_back=rules.window_days, pads=True)
    waiting = [held for held in context.held if held.id in set(held_ids) and _as_it_came(held)]
    released = 0
    for phone in context.phones:
        mine = [held for held in waiting if held.phone_id == phone.id]
        items = items_read([Item(held.raw, held.sha256) for held in mine])
        taken = entries_take(context=context, phone=phone, items=items, rules=rules, by=by)
        released += len(taken.released)
    patient_flags_evaluate(patient=patient, now=now)
    return released
