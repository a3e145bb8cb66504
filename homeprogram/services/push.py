"""One push: entries in, receipts out, watermark moved, rows and flags brought up to date."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID

from django.db import transaction

from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.entry_body import EntryBody
from homeprogram.calc.limits import CLAIM_CLOCK_MAX_MS, FlagRules
from homeprogram.calc.readings import AMENDS
from homeprogram.models import (
    ChangeType,
    Entry,
    Patient,
    Phone,
    PhoneState,
    Revision,
    RevisionOnPhone,
)
from homeprogram.selectors import log
from homeprogram.selectors.plans import Context, context_of, counts
from homeprogram.services.changes import changes_announce, patient_lock
from homeprogram.services.flags import patient_flags_evaluate
from homeprogram.services.holds import holds_place
from homeprogram.services.intake import Intake, Item, Known, Outcome, ReadItem, items_read
from homeprogram.services.projections import entries_project


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
    items = items_read(push.items)
    with transaction.atomic():
        return _take(phone, push, items, now)


def _take(phone: Phone, push: Push, items: Sequence[ReadItem], now: datetime) -> Pushed:
    patient = patient_lock(patient_id=phone.patient_id)
    rules = FlagRules.of_clinic(patient.clinic.rules)
    context = context_of(patient=patient, now=now, days_back=rules.window_days)
    # Read again under the lock: another request may have changed it since.
    phone = next(one for one in context.phones if one.id == phone.id)
    phone.clock_offset_ms = _millis(now) - push.sent_ms
    rows = _rows_concerned(context, items, now - timedelta(days=rules.window_days))

    intake = Intake(
        patient=patient,
        phone=phone,
        items=items,
        rows=rows,
        known=_known(context),
        now=now,
        custody_only=phone.state != PhoneState.ACTIVE,
    )
    outcomes = intake.take()
    rows += intake.stored
    context.held += intake.held
    context.holds += holds_place(patient=patient, entries=intake.stored, now=now)
    days = entries_project(
        patient=patient, stored=intake.stored, rows=rows, revisions=_revisions(context)
    )
    context.rows |= {(str(row.episode_id), row.day): counts(row) for row in days}
    if phone.state == PhoneState.ACTIVE:
        _revisions_name(patient, phone, context, push.have_revision, now)
    gaps = _phone_note(phone, push, outcomes, now)
    patient_flags_evaluate(patient=patient, now=now, context=context, entries=rows)
    return Pushed(outcomes, phone.high, gaps)


def _rows_concerned(context: Context, items: Sequence[ReadItem], since: datetime) -> list[Entry]:
    read = [one.body for one in items if isinstance(one.body, EntryBody)]
    targets = {UUID(body.payload["of"]) for body in read if body.kind in AMENDS}
    return log.entries_concerned(
        patient=context.patient,
        phones=context.phones,
        ids={body.id for body in read} | targets,
        numbers={body.number for body in read},
        days={body.for_date for body in read},
        since=since,
    )


def _numbers(phone: Phone, outcomes: Sequence[Outcome]) -> set[int]:
    """This phone's numbers that are here with this push; it may understate its highest."""
    mine = [one.row for one in outcomes if one.row.phone_id == phone.id and one.row.number]
    return {row.number for row in mine if getattr(row, "code", "") not in log.NUMBER_UNSURE}


def _known(context: Context) -> Known:
    return Known(
        episodes=frozenset(episode.id for episode in context.episodes),
        revisions={revision.id: revision for revision in _revisions(context)},
        phones={phone.id: phone for phone in context.phones},
    )


def _revisions(context: Context) -> list[Revision]:
    return [revision for several in context.revisions.values() for revision in several]


def _revisions_name(
    patient: Patient, phone: Phone, context: Context, named: Sequence[UUID], now: datetime
) -> None:
    """From the day after a push names it, the patient follows a revision."""
    today = local_day(now, zone_or_utc(patient.zone))
    fresh = [
        revision
        for revision in _revisions(context)
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
    """Contact, build, clock, and the watermark if the claim can be trusted; the gaps."""
    here = _numbers(phone, outcomes)
    phone.high = max(phone.high, push.high, *here)
    gaps = log.gaps(phone=phone, arriving=here)
    phone.last_contact_at = now
    phone.build = push.build
    if push.claim and not gaps and _claim_holds(phone, push.claim):
        said = min(now, _moment(push.claim.at_ms + phone.clock_offset_ms))
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
        ]
    )
    return gaps


def _claim_holds(phone: Phone, claim: Claim) -> bool:
    """A claim moves the watermark only of a current phone with a sane clock."""
    return (
        phone.state == PhoneState.ACTIVE
        and abs(phone.clock_offset_ms) <= CLAIM_CLOCK_MAX_MS
        and claim.high == phone.high
    )


def _millis(moment: datetime) -> int:
    return int(moment.timestamp() * 1000)


def _moment(millis: int) -> datetime:
    return datetime.fromtimestamp(millis / 1000, tz=UTC)
