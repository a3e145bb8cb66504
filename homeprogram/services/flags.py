"""Reconciles the cards that the facts call for with those that are stored."""

import logging
import traceback
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from uuid import UUID

from django.db import DatabaseError, transaction

from homeprogram.calc.flag_clock import next_turn
from homeprogram.calc.flag_facts import Card
from homeprogram.calc.flag_thresholds import effective_rules
from homeprogram.calc.flags import (
    NOT_OF_TIME,
    OF_TIME,
    REASONS,
    RULE_VERSION,
    SAFETY,
    UNTIL_CLOSED,
    Judged,
    judged,
    rule_failed,
)
from homeprogram.calc.limits import FlagRules
from homeprogram.models import (
    Entry,
    Flag,
    FlagDeed,
    FlagEvent,
    FlagState,
    Patient,
)
from homeprogram.selectors.facts import facts_of
from homeprogram.selectors.log import entries_received_since
from homeprogram.selectors.pads import pads_read
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
    "waits_since",
    "seen_at",
    "seen_by",
    "outcome",
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
    rules = effective_rules(patient.clinic.rules, patient.rules)
    since = now - timedelta(days=rules.window_days)
    if context is None:
        context = context_of(patient=patient, now=now, days_back=rules.window_days, pads=True)
    if entries is None:
        entries = entries_received_since(patient=patient, since=since)
    if context.pads is None:
        context.pads = pads_read(patients=[patient.id], now=now)
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
    fresh, changed = _changes(context, cards, unsure)
    Flag.objects.bulk_create(
        [*fresh, *changed], update_conflicts=True, unique_fields=["id"], update_fields=FIELDS
    )
    cleared = [flag for flag in changed if flag.state == FlagState.CLEARED]
    if cleared:
        FlagEvent.objects.bulk_create(_cleared(flag, context.now) for flag in cleared)


def _changes(
    context: Context, cards: Iterable[Card], unsure: Collection[str]
) -> tuple[list[Flag], list[Flag]]:
    """New cards, and the context's own that came out otherwise."""
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
    return fresh, changed


@dataclass(frozen=True, slots=True)
class Look:
    """What a look without a lock found: `stand` None = only the entries can tell."""

    stand: bool | None
    next_turn: datetime


def flags_by_time(*, context: Context) -> Look:
    """Whether the cards still stand when nothing but time has passed. Asks and writes nothing.

    No entry is looked at: time alone raises only what days, programs and phones tell.
    What entries raised can only go, so a patient with such a card needs them.
    """
    rules = effective_rules(context.patient.clinic.rules, context.patient.rules)
    facts = facts_of(context, (), rules)
    found = judged(facts, rules, OF_TIME)
    others = frozenset(REASONS) - OF_TIME
    turn = next_turn(facts, rules)
    if found.failed or any(_changes(context, found.cards, others)):
        return Look(stand=False, next_turn=turn)
    may_go = others - NOT_OF_TIME
    open_ones = {flag.reason for flag in context.flags if flag.state == FlagState.OPEN}
    return Look(stand=None if open_ones & may_go else True, next_turn=turn)


def flags_stand(*, context: Context, entries: Sequence[Entry]) -> Look:
    """The same with the window's entries, oldest first: every rule is judged."""
    rules = effective_rules(context.patient.clinic.rules, context.patient.rules)
    since = context.now - timedelta(days=rules.window_days)
    facts = facts_of(context, [one for one in entries if one.received_at >= since], rules)
    found = judged(facts, rules)
    turn = next_turn(facts, rules)
    return Look(
        stand=not found.failed and not any(_changes(context, found.cards, ())), next_turn=turn
    )


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
        waits_since=now,
    )


def _renew(flag: Flag, card: Card, now: datetime) -> bool:
    """True when the stored card changed."""
    newer = card.fact_at > flag.fact_at
    if flag.state == FlagState.OPEN:
        if not newer and card.basis == flag.basis:
            return False
    elif flag.state == FlagState.CLOSED and not _tells_news(flag, card):
        return False  # closed by somebody who knew all this
    else:
        _open_again(flag, now)
    if flag.seen_at and (newer or _names_more(flag, card)):
        _wait(flag, now)  # nobody has seen that
    flag.count += newer
    flag.fact_at = max(card.fact_at, flag.fact_at)
    flag.basis, flag.rule_version = card.basis, RULE_VERSION
    return True


def _tells_news(flag: Flag, card: Card) -> bool:
    """Something that whoever closed the card cannot have known.

    A card that waits for a person names the entries behind it, so one that it did
    not name is news, whenever it was on its way; the times of two pushes that wait
    for each other may stand in the other order.
    """
    if flag.reason not in UNTIL_CLOSED:
        return card.fact_at > flag.closed_at
    if "entries" in card.basis:
        return _names_more(flag, card)
    return card.fact_at > flag.fact_at


def _names_more(flag: Flag, card: Card) -> bool:
    return not set(card.basis.get("entries", ())) <= set(flag.basis.get("entries", ()))


def _open_again(flag: Flag, now: datetime) -> None:
    flag.state, flag.opened_at = FlagState.OPEN, now
    flag.closed_at, flag.closed_by, flag.close_reason, flag.outcome = None, None, "", ""
    _wait(flag, now)


def _wait(flag: Flag, now: datetime) -> None:
    flag.waits_since, flag.seen_at, flag.seen_by = now, None, None


def _clear(flag: Flag, now: datetime) -> bool:
    if flag.reason in UNTIL_CLOSED or flag.state != FlagState.OPEN:
        return False
    flag.state, flag.closed_at = FlagState.CLEARED, now
    return True


@transaction.atomic
def patient_flags_refresh(*, patient_id: UUID, now: datetime) -> None:
    """The clock's unit of work: one patient, locked, in a transaction of its own.

    Any number of clocks may run it at once; they wait for each other here.
    """
    patient_flags_evaluate(patient=patient_lock(patient_id=patient_id), now=now)


def _cleared(flag: Flag, now: datetime) -> FlagEvent:
    return FlagEvent(
        clinic_id=flag.clinic_id,
        flag=flag,
        patient_id=flag.patient_id,
        reason=flag.reason,
        rule_version=flag.rule_version,
        deed=FlagDeed.CLEARED,
        opened_at=flag.opened_at,
        at=now,
    )
