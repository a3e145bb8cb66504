"""Reconciles the cards that the facts call for with those that are stored."""

import logging
import traceback
from collections.abc import Collection, Iterable
from datetime import datetime, timedelta
from pathlib import Path
from uuid import UUID

from django.db import DatabaseError, transaction

from homeprogram.calc.flag_facts import Card
from homeprogram.calc.flags import (
    REASONS,
    RULE_VERSION,
    SAFETY,
    UNTIL_CLOSED,
    Judged,
    judged,
    rule_failed,
)
from homeprogram.calc.limits import FlagRules
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Entry, Flag, FlagState, Patient
from homeprogram.selectors.facts import facts_of
from homeprogram.selectors.log import entries_received_since
from homeprogram.selectors.plans import Context, context_of
from homeprogram.services.changes import patient_lock

log = logging.getLogger(__name__)

NO_FACTS = "facts"  # named like a rule where the facts themselves could not be read
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
    found = _judged(context, told, rules)
    for reason, error in found.failed.items():
        _log(patient, reason, error)
    unsure = REASONS if NO_FACTS in found.failed else found.failed
    flags_reconcile(context=context, cards=found.cards, unsure=unsure)


def _judged(context: Context, told: list[Entry], rules: FlagRules) -> Judged:
    """Never raises for what an entry says: its receipt must not hang on a rule.

    The database's own trouble does: then nothing is stored, and the phone sends again.
    """
    try:
        return judged(facts_of(context, told, rules), rules)
    except DatabaseError:
        raise
    except Exception as error:  # noqa: BLE001  the patient's card says so
        card = rule_failed(context.now, context.zone, [NO_FACTS])
        return Judged([card], {NO_FACTS: error})


def _log(patient: Patient, reason: str, error: Exception) -> None:
    """Where it broke; a message, or the value of a variable, can quote the record."""
    frames = traceback.extract_tb(error.__traceback__)
    where = " < ".join(f"{Path(f.filename).name}:{f.lineno} {f.name}" for f in reversed(frames))
    kind = type(error).__name__
    log.error("flag rule %s of patient %s: %s at %s", reason, patient.id, kind, where)


def flags_reconcile(
    *, context: Context, cards: Iterable[Card], unsure: Collection[str] = ()
) -> None:
    """Open, reopen, renew or clear; a safety card never clears itself.

    `unsure` = reasons whose rule could not be worked out: their cards stay as they are.
    """
    patient, now = context.patient, context.now
    wanted = {card.key: card for card in cards}
    stored = {
        (str(flag.episode_id) if flag.episode_id else None, flag.reason): flag
        for flag in context.flags
    }
    fresh = [_new(patient, card, now) for key, card in wanted.items() if key not in stored]
    changed = [
        flag
        for key, flag in stored.items()
        if (
            _renew(flag, wanted[key], now)
            if key in wanted
            else flag.reason not in unsure and _clear(flag, now)
        )
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
