"""What a clinician does about a card: see it, close it, add to a closed one."""

from datetime import datetime

from django.db import transaction

from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Flag, FlagDeed, FlagEvent, FlagOutcome, FlagState
from homeprogram.services.changes import patient_lock


@transaction.atomic
def flag_see(
    *, flag: Flag, by: Clinician, now: datetime, known_until: datetime | None = None
) -> None:
    """Somebody looks after it: it goes on to nobody else. Safe to repeat; the first stands."""
    current = _current(flag, by, known_until)
    if current.state != FlagState.OPEN:
        raise _closed_already(current)
    if current.seen_at is None:
        current.seen_at, current.seen_by = now, by
        current.save(update_fields=["seen_at", "seen_by"])
        _note(current, FlagDeed.SEEN, by, now)


@transaction.atomic
def flag_close(
    *,
    flag: Flag,
    by: Clinician,
    outcome: str,
    reason: str,
    now: datetime,
    known_until: datetime | None = None,
) -> None:
    """A clinician looked and says what came of it.

    `known_until` = the newest fact on the card they looked at; a newer one refuses.
    """
    words = _said(reason, "Say what you found or did.")
    if outcome not in FlagOutcome.values:
        message = "Say what came of it."
        raise RuleBroken(message, code="outcome_missing", fields={"outcome": message})
    current = _current(flag, by, known_until)
    if current.state != FlagState.OPEN:
        raise _closed_already(current)
    current.state, current.outcome, current.close_reason = FlagState.CLOSED, outcome, words
    current.closed_at, current.closed_by = now, by
    current.save(update_fields=["state", "outcome", "close_reason", "closed_at", "closed_by"])
    _note(current, FlagDeed.CLOSED, by, now, outcome=outcome, words=words)


@transaction.atomic
def flag_remark(*, flag: Flag, by: Clinician, words: str, now: datetime) -> None:
    """What somebody adds, for example who was second to close it. Nothing else changes."""
    said = _said(words, "Write your remark.")
    _note(_current(flag, by, None), FlagDeed.REMARK, by, now, words=said)


def _said(words: str, message: str) -> str:
    if not words.strip():
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    return words.strip()


def _current(flag: Flag, by: Clinician, known_until: datetime | None) -> Flag:
    """The card as it is now, with the patient locked: a push or another clinician waits."""
    if by.clinic_id != flag.clinic_id or not by.active:
        raise RuleBroken("Only a clinician of this clinic may do this.", code="not_a_clinician")
    patient_lock(patient_id=flag.patient_id)
    current = Flag.objects.select_related("closed_by").get(id=flag.id)
    if known_until and current.fact_at > known_until and current.state == FlagState.OPEN:
        raise RuleBroken(
            "Something newer has arrived on this flag since you opened it. Look at it first; "
            "what you wrote is kept below.",
            code="flag_changed",
        )
    return current


def _closed_already(flag: Flag) -> RuleBroken:
    if flag.state == FlagState.CLEARED:
        return RuleBroken("This flag has cleared by itself meanwhile.", code="flag_not_open")
    return RuleBroken(
        f"{flag.closed_by.name} has closed this flag: “{flag.close_reason}”.", code="flag_not_open"
    )


def _note(
    flag: Flag, deed: FlagDeed, by: Clinician, now: datetime, *, outcome: str = "", words: str = ""
) -> None:
    FlagEvent.objects.create(
        clinic_id=flag.clinic_id,
        flag=flag,
        patient_id=flag.patient_id,
        reason=flag.reason,
        rule_version=flag.rule_version,
        deed=deed,
        outcome=outcome,
        words=words,
        by=by,
        opened_at=flag.opened_at,
        at=now,
    )
