"""Reconciles the cards that the facts call for with those that are stored."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction

from homeprogram.calc.flag_facts import Card
from homeprogram.calc.flags import RULE_VERSION, SAFETY, UNTIL_CLOSED, wanted_cards
from homeprogram.calc.limits import FlagRules
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Entry, Flag, FlagState, Patient
from homeprogram.selectors.facts import facts_of
from homeprogram.selectors.log import entries_received_since
from homeprogram.selectors.plans import Context, context_of
from homeprogram.services.changes import patient_lock

FIELDS = [
    "state",
    "count",
    "fact_at",
    "basis",
    "rule_version",
    "opened_at",
    "closed_at",
    "closed_by",
    "close_reason",
]


def patient_flags_evaluate(
    *,
    patient: Patient,
    now: datetime,
    context: Context | None = None,
    entries: Iterable[Entry] | None = None,
) -> None:
    """Bring this patient's cards in line with the facts. Safe to repeat.

    A caller that has read the context and the window's entries hands them in.
    """
    rules = FlagRules.of_clinic(patient.clinic.rules)
    since = now - timedelta(days=rules.window_days)
    if context is None:
        context = context_of(patient=patient, now=now, days_back=rules.window_days)
    if entries is None:
        entries = entries_received_since(patient=patient, since=since)
    told = sorted((e for e in entries if e.received_at >= since), key=lambda e: e.version)
    flags_reconcile(
        patient=patient, cards=wanted_cards(facts_of(context, told, rules), rules), now=now
    )


def flags_reconcile(*, patient: Patient, cards: Iterable[Card], now: datetime) -> None:
    """Open, reopen, renew or clear; a safety card never clears itself."""
    wanted = {card.key: card for card in cards}
    stored = {
        (str(flag.episode_id) if flag.episode_id else None, flag.reason): flag
        for flag in Flag.objects.filter(patient=patient)
    }
    fresh = [_new(patient, card, now) for key, card in wanted.items() if key not in stored]
    changed = [
        flag
        for key, flag in stored.items()
        if (_renew(flag, wanted[key], now) if key in wanted else _clear(flag, now))
    ]
    if fresh:
        Flag.objects.bulk_create(fresh)
    if changed:
        Flag.objects.bulk_update(changed, FIELDS)


def _new(patient: Patient, card: Card, now: datetime) -> Flag:
    return Flag(
        clinic_id=patient.clinic_id,
        patient=patient,
        episode_id=card.episode_id,
        reason=card.reason,
        rule_version=RULE_VERSION,
        safety=card.reason in SAFETY,
        fact_at=card.fact_at,
        basis=card.basis,
        opened_at=now,
    )


def _renew(flag: Flag, card: Card, now: datetime) -> bool:
    """True when the stored card changed."""
    newer = card.fact_at > flag.fact_at
    if flag.state == FlagState.OPEN:
        if not newer and card.basis == flag.basis:
            return False
    elif flag.state == FlagState.CLOSED and card.fact_at <= flag.closed_at:
        return False  # closed by somebody who knew all this
    else:
        flag.state, flag.opened_at = FlagState.OPEN, now
        flag.closed_at, flag.closed_by, flag.close_reason = None, None, ""
    flag.count += newer
    flag.fact_at = max(card.fact_at, flag.fact_at)
    flag.basis, flag.rule_version = card.basis, RULE_VERSION
    return True


def _clear(flag: Flag, now: datetime) -> bool:
    if flag.reason in UNTIL_CLOSED or flag.state != FlagState.OPEN:
        return False
    flag.state, flag.closed_at = FlagState.CLEARED, now
    return True


@transaction.atomic
def flag_close(*, flag: Flag, by: Clinician, reason: str, now: datetime) -> None:
    """A clinician looked and says what came of it."""
    if not reason.strip():
        message = "Say what you found or did."
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    patient_lock(patient_id=flag.patient_id)
    changed = Flag.objects.filter(id=flag.id, state=FlagState.OPEN).update(
        state=FlagState.CLOSED, closed_at=now, closed_by=by, close_reason=reason.strip()
    )
    if not changed:
        raise RuleBroken("This flag is closed already.", code="flag_not_open")


@transaction.atomic
def patient_flags_refresh(*, patient_id: UUID, now: datetime) -> None:
    """The clock's unit of work: one patient, locked, in a transaction of its own.

    Any number of clocks may run it at once; they wait for each other here.
    """
    patient_flags_evaluate(patient=patient_lock(patient_id=patient_id), now=now)
