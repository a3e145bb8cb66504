"""One push: entries in, receipts out, watermark moved, rows and flags brought up to date."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from django.db import transaction

from homeprogram.calc import losses
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.flag_thresholds import effective_rules
from homeprogram.calc.limits import CLAIM_CLOCK_MAX_MS
from homeprogram.models import ChangeType, Patient, Phone, PhoneState, RevisionOnPhone
from homeprogram.selectors import log
from homeprogram.selectors.plans import Context, context_of
from homeprogram.services.changes import changes_announce, patient_lock
from homeprogram.services.entries import entries_take
from homeprogram.services.flags import patient_flags_evaluate
from homeprogram.services.intake import Item, Outcome, ReadItem, items_read


@dataclass(frozen=True, slots=True)
class Claim:
    """At `at_ms` (phone's clock) it held nothing unsent; its highest number was `high`.

    `heard_ms` is that moment, or one just before it, by our own clock: our last
    answer's time and what the phone's running clock counted since.
    """

    at_ms: int
    high: int
    heard_ms: int | None = None


@dataclass(frozen=True, slots=True)
class Push:
    """What a phone says in one request.

    `lost` = numbers named as gaps that it does not have; `cleared_ms` = when, by
    its own clock, it found its whole log cleared.
    """

    build: str
    high: int
    have_revision: Sequence[UUID]
    items: Sequence[Item]
    claim: Claim | None
    sent_ms: int
    lost: Sequence[int] = ()
    cleared_ms: int | None = None


@dataclass(frozen=True, slots=True)
class Pushed:
    """What the clinic answers, read after the commit."""

    outcomes: Sequence[Outcome]
    high: int
    gaps: Sequence[int]


def push_take(*, phone: Phone, push: Push, now: datetime) -> Pushed:
    """Commit everything the push brings, then say what became of it."""
    items = items_read(push.items)
    with transaction.atomic():
        return _take(phone, push, items, now)


def _take(phone: Phone, push: Push, items: Sequence[ReadItem], now: datetime) -> Pushed:
    patient = patient_lock(patient_id=phone.patient_id)
    rules = effective_rules(patient.clinic.rules, patient.rules)
    context = context_of(patient=patient, now=now, days_back=rules.window_days, pads=True)
    # Read again under the lock: another request may have changed it since.
    phone = next(one for one in context.phones if one.id == phone.id)
    phone.clock_offset_ms = _millis(now) - push.sent_ms
    active = phone.state == PhoneState.ACTIVE
    taken = entries_take(
        context=context, phone=phone, items=items, rules=rules, custody_only=not active
    )
    if active:
        _revisions_name(patient, phone, context, push.have_revision, now)
    gaps = _phone_note(phone, push, taken.outcomes, now)
    patient_flags_evaluate(patient=patient, now=now, context=context, entries=taken.rows)
    return Pushed(taken.outcomes, phone.high, gaps)


def _numbers(phone: Phone, outcomes: Sequence[Outcome]) -> set[int]:
    """This phone's numbers that are here with this push; it may understate its highest."""
    mine = [one.row for one in outcomes if one.row.phone_id == phone.id and one.row.number]
    return {row.number for row in mine if getattr(row, "code", "") not in log.NUMBER_UNSURE}


def _revisions_name(
    patient: Patient, phone: Phone, context: Context, named: Sequence[UUID], now: datetime
) -> None:
    """From the day after a push names it, the patient follows a revision."""
    today = local_day(now, zone_or_utc(patient.zone))
    fresh = [
        revision
        for revision in context.every_revision
        if revision.id in set(named) and getattr(revision, "on_phone", None) is None
    ]
    RevisionOnPhone.objects.bulk_create(
        RevisionOnPhone(
            clinic_id=patient.clinic_id,
            revision=revision,
            phone=phone,
            named_at=now,
            named_on=today,
        )
        for revision in fresh
    )
    programs = list(dict.fromkeys(revision.program_id for revision in fresh))
    changes_announce(patient=patient, what=[(ChangeType.PROGRAM, one) for one in programs])


def _phone_note(phone: Phone, push: Push, outcomes: Sequence[Outcome], now: datetime) -> list[int]:
    """Contact, build, clock, losses, and the watermark if the claim can be trusted; the gaps."""
    here = _numbers(phone, outcomes)
    phone.high = max(phone.high, push.high, *here)
    gaps = _losses_note(phone, push, log.gaps(phone=phone, arriving=here), now)
    phone.last_contact_at = now
    phone.build = push.build
    if push.claim and not gaps and _claim_holds(phone, push.claim):
        said = _moment(_claimed_ms(phone, push.claim), now)
        # A claim that was overtaken on its way takes nothing back.
        phone.claim_at = max(said, phone.claim_at or said)
        phone.claimed_to = push.claim.high
    phone.save(
        update_fields=[
            "last_contact_at",
            "build",
            "high",
            "clock_offset_ms",
            "claimed_to",
            "claim_at",
            "losses",
        ]
    )
    return gaps


def _losses_note(phone: Phone, push: Push, gaps: list[int], now: datetime) -> list[int]:
    """Write down what the phone says will never come; the gaps that are left.

    The watermark may pass a loss, but the days since the phone was last known to
    hold nothing unsent stay "not known yet": the bout may have been among it.
    """
    if phone.heard_at is None or len(phone.losses) >= losses.LOSSES_MAX:
        return gaps
    cleared = push.cleared_ms
    if cleared is not None and not losses.was_told(phone.losses, cleared):
        until = _moment(cleared + phone.clock_offset_ms, now)
        _loss_add(phone, now, until=until, cleared=cleared)
    lost = set(push.lost) & set(gaps)
    if lost:
        _loss_add(phone, now, until=now, numbers=lost)
    return [number for number in gaps if number not in lost]


def _loss_add(
    phone: Phone,
    now: datetime,
    *,
    until: datetime,
    numbers: Iterable[int] = (),
    cleared: int | None = None,
) -> None:
    loss = {
        "numbers": losses.spans_of(numbers),
        "cleared_ms": cleared,
        "since": min(phone.heard_at, until).isoformat(),
        "until": until.isoformat(),
        "told_at": now.isoformat(),
    }
    phone.losses = [*phone.losses, loss]


def _claim_holds(phone: Phone, claim: Claim) -> bool:
    """A claim moves the watermark only of a current phone with a sane clock."""
    return (
        phone.state == PhoneState.ACTIVE
        and abs(phone.clock_offset_ms) <= CLAIM_CLOCK_MAX_MS
        and claim.high == phone.high
    )


def _claimed_ms(phone: Phone, claim: Claim) -> int:
    """By our clock. Without `heard_ms` the message's own time on the way goes unseen."""
    return claim.at_ms + phone.clock_offset_ms if claim.heard_ms is None else claim.heard_ms


def _millis(moment: datetime) -> int:
    return int(moment.timestamp() * 1000)


def _moment(millis: int, now: datetime) -> datetime:
    """Never later than now, whatever a phone's clock makes of it."""
    return datetime.fromtimestamp(min(max(millis, 0), _millis(now)) / 1000, tz=UTC)
