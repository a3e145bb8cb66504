"""One push: entries in, receipts out, watermark moved, rows and flags brought up to date."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID

from django.db import transaction

from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.limits import CLAIM_CLOCK_MAX_MS, FlagRules
from homeprogram.models import (
    ChangeType,
    Entry,
    Patient,
    Phone,
    PhoneState,
    RevisionOnPhone,
)
from homeprogram.selectors import log
from homeprogram.selectors.plans import Context, context_of
from homeprogram.services.changes import changes_announce, patient_lock
from homeprogram.services.flags import patient_flags_evaluate
from homeprogram.services.holds import holds_place
from homeprogram.services.intake import Intake, Item, Known, Outcome
from homeprogram.services.projections import days_project

# Held for these reasons, an entry's number says nothing about this phone.
NUMBER_UNSURE = {"other_phone", "hash_mismatch"}


@dataclass(frozen=True, slots=True)
class Claim:
    """At `at_ms` (phone's clock) it held nothing unsent; its highest number was `high`."""

    at_ms: int
    high: int


@dataclass(frozen=True, slots=True)
class Push:
    """What a phone says in one request."""

    build: str
    high: int
    have_revision: Sequence[UUID]
    items: Sequence[Item]
    claim: Claim | None
    sent_ms: int


@dataclass(frozen=True, slots=True)
class Pushed:
    """What the clinic answers, read after the commit."""

    outcomes: Sequence[Outcome]
    high: int
    gaps: Sequence[int]


def push_take(*, phone: Phone, push: Push, now: datetime) -> Pushed:
    """Commit everything the push brings, then say what became of it."""
    with transaction.atomic():
        outcomes, phone = _take(phone, push, now)
    return Pushed(
        outcomes, phone.high, log.gaps(phone=phone) if phone.high > phone.claimed_to else []
    )


def _take(phone: Phone, push: Push, now: datetime) -> tuple[list[Outcome], Phone]:
    patient = patient_lock(patient_id=phone.patient_id)
    rules = FlagRules.of_clinic(patient.clinic.rules)
    context = context_of(patient=patient, now=now, days_back=rules.window_days)
    phone = next(one for one in context.phones if one.id == phone.id)
    phone.clock_offset_ms = _millis(now) - push.sent_ms

    intake = Intake(
        patient=patient,
        phone=phone,
        items=push.items,
        known=_known(context),
        now=now,
        custody_only=phone.state == PhoneState.REPLACED,
    )
    outcomes = intake.take()
    phone.high = max(phone.high, push.high, *_numbers(outcomes))
    holds_place(patient=patient, entries=intake.stored, now=now)
    _project(patient, context, intake.stored)
    if phone.state == PhoneState.ACTIVE:
        _revisions_name(patient, phone, context, push.have_revision, now)
    _phone_note(phone, push, now)
    context = context_of(patient=patient, now=now, days_back=rules.window_days)
    patient_flags_evaluate(patient=patient, now=now, context=context)
    return outcomes, phone


def _numbers(outcomes: Sequence[Outcome]) -> list[int]:
    """Numbers that came with this push: a phone may understate its highest."""
    rows = [outcome.row for outcome in outcomes]
    return [row.number or 0 for row in rows if getattr(row, "code", "") not in NUMBER_UNSURE]


def _known(context: Context) -> Known:
    revisions = [r for rows in context.revisions.values() for r in rows]
    return Known(
        episodes=frozenset(episode.id for episode in context.episodes),
        revisions={revision.id: revision for revision in revisions},
    )


def _project(patient: Patient, context: Context, stored: Sequence[Entry]) -> None:
    targets = {entry.of for entry in stored if entry.of}
    touched = {entry.for_date for entry in stored if not entry.of}
    # An amendment may have come before its target: project the day anyway.
    touched |= {root.for_date for root in log.roots_of(patient=patient, targets=targets)}
    revisions = [r for rows in context.revisions.values() for r in rows]
    days_project(patient=patient, days=touched, revisions=revisions)


def _revisions_name(
    patient: Patient, phone: Phone, context: Context, named: Sequence[UUID], now: datetime
) -> None:
    """From the day after a push names it, the patient follows a revision."""
    today = local_day(now, zone_or_utc(patient.zone))
    fresh = [
        revision
        for rows in context.revisions.values()
        for revision in rows
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


def _phone_note(phone: Phone, push: Push, now: datetime) -> None:
    """Contact, build, clock, and the watermark if the claim can be trusted."""
    phone.last_contact_at = now
    phone.build = push.build
    if push.claim and _claim_holds(phone, push.claim):
        phone.claimed_to = push.claim.high
        phone.claim_at = min(now, _moment(push.claim.at_ms + phone.clock_offset_ms))
    phone.save(
        update_fields=[
            "last_contact_at",
            "build",
            "high",
            "clock_offset_ms",
            "claimed_to",
            "claim_at",
        ]
    )


def _claim_holds(phone: Phone, claim: Claim) -> bool:
    """A claim moves the watermark only from a sane clock and a gapless log."""
    if abs(phone.clock_offset_ms) > CLAIM_CLOCK_MAX_MS:
        return False
    if claim.high != phone.high or claim.high < phone.claimed_to:
        return False
    return not log.gaps(phone=phone)


def _millis(moment: datetime) -> int:
    return int(moment.timestamp() * 1000)


def _moment(millis: int) -> datetime:
    return datetime.fromtimestamp(millis / 1000, tz=UTC)
