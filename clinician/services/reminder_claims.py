"""Who sends which message: taken in the database, so any number of workers send it once.

Taken first, sent after: a worker that dies in between loses that one message and
can't double it. A nudge too few costs little; one too many costs the patient's trust.
Every transaction begins at the patient's setting, an opt-out's too: whichever comes
second sees what the first one did.
"""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from django.db import transaction

from clinician.models import OptOut, Reminder, ReminderKind, ReminderOutcome, ReminderSetting, Way
from clinician.selectors.reminder_cases import (
    Reaches,
    but_failed,
    case_of,
    settings_with_patients,
)
from clinician.services.channels.outcome import Outcome, Result
from homeprogram.calc.limits import REMINDER_TRIES
from homeprogram.calc.reminders import Case, Planned, Why, contact_now, reminder_due

# How long settings are one worker's to look at; another takes them up after that.
LOOK_LEASE = timedelta(minutes=5)
# How long one sending may take, all time-outs of its connection included.
SEND_LEASE = timedelta(minutes=2)
CHUNK = 200


@transaction.atomic
def settings_take(*, now: datetime, chunk: int = CHUNK) -> list[ReminderSetting]:
    """The next patients to look at, ours until the lease ends; other workers get others."""
    due = ReminderSetting.objects.select_for_update(skip_locked=True).filter(next_at__lte=now)
    ids = list(due.order_by("next_at", "id").values_list("id", flat=True)[:chunk])
    ReminderSetting.objects.filter(id__in=ids).update(next_at=now + LOOK_LEASE)
    return list(settings_with_patients().filter(id__in=ids).order_by("id"))


def settings_pass(settings: Sequence[ReminderSetting], next_at: datetime | None) -> None:
    """Nothing is due for these: look again then. What was changed meanwhile stays as set."""
    if settings:
        ids = [setting.id for setting in settings]
        mine = ReminderSetting.objects.filter(id__in=ids, next_at=settings[0].next_at)
        mine.update(next_at=next_at)


@transaction.atomic
def reminder_claim(
    *, setting: ReminderSetting, next_at: datetime | None, now: datetime, reaches: Reaches
) -> Reminder | None:
    """The right to send this patient's reminder; None when it is another's, or no longer due."""
    mine = ReminderSetting.objects.filter(id=setting.id, next_at=setting.next_at)
    if not mine.update(next_at=next_at):
        return None
    standing = but_failed(reaches, patients=[setting.patient_id], now=now)
    planned = reminder_due(_case_now(setting, now, standing), now)
    if planned is None:
        return None
    return _create(setting, ReminderKind.DUE, planned, now)


@transaction.atomic
def contact_claim(
    *, setting: ReminderSetting, now: datetime, reaches: Reaches, **by
) -> Reminder | Why:
    """The right to send a contact request, or why there is none."""
    ReminderSetting.objects.select_for_update().get(id=setting.id)
    planned = contact_now(_case_now(setting, now, _in_writing(reaches)), now)
    if planned.why:
        return planned.why
    return _create(setting, ReminderKind.CONTACT, planned, now, **by)


@transaction.atomic
def reminder_claim_again(*, reminder: Reminder, now: datetime, reaches: Reaches) -> Reminder | None:
    """The right to try once more. Everything is asked again; what speaks against it ends it."""
    setting = ReminderSetting.objects.select_for_update().get(patient_id=reminder.patient_id)
    mine = Reminder.objects.filter(
        id=reminder.id, outcome=ReminderOutcome.LATER, retry_at=reminder.retry_at
    )
    by_hand = reminder.kind == ReminderKind.CONTACT
    case = _case_now(setting, now, _in_writing(reaches) if by_hand else reaches, but=reminder)
    planned = contact_now(case, now) if by_hand else reminder_due(case, now)
    if planned is None or planned.why or now >= reminder.until:
        outcome, why = _ending(reminder, case, now)
        mine.update(outcome=outcome, why=why, ended_at=now, retry_at=None)
        return None
    claimed = mine.update(
        outcome=ReminderOutcome.CLAIMED,
        way=planned.channel,
        wording=planned.wording or reminder.wording,
        tries=reminder.tries + 1,
        claimed_at=now,
        lease_until=now + SEND_LEASE,
        retry_at=None,
    )
    return Reminder.objects.get(id=reminder.id) if claimed else None


def _in_writing(reaches: Reaches) -> Reaches:
    """A notice on the phone has one fixed text, which does not ask for a call."""
    return lambda setting, way: way != Way.PUSH and reaches(setting, way)


def _case_now(
    setting: ReminderSetting, now: datetime, reaches: Reaches, but: Reminder | None = None
) -> Case:
    """Read anew inside the claim: an opt-out, a log or a hold may have come in between."""
    fresh = settings_with_patients().get(id=setting.id)
    return case_of(fresh, now=now, reaches=reaches, but=but.id if but else None)


def _create(
    setting: ReminderSetting, kind: ReminderKind, planned: Planned, now: datetime, **by
) -> Reminder:
    return Reminder.objects.create(
        clinic_id=setting.clinic_id,
        patient_id=setting.patient_id,
        kind=kind,
        day=planned.day,
        due_at=planned.at,
        until=planned.until,
        way=planned.channel,
        wording=planned.wording or kind,
        claimed_at=now,
        lease_until=now + SEND_LEASE,
        **by,
    )


def _ending(reminder: Reminder, case: Case, now: datetime) -> tuple[ReminderOutcome, str]:
    if case.wanted.channels:
        late = now >= reminder.until
        return ReminderOutcome.DROPPED, "too_late" if late else "no_longer_due"
    stopped = OptOut.objects.filter(patient_id=reminder.patient_id, ended_at=None).exists()
    return (
        (ReminderOutcome.STOPPED, "") if stopped else (ReminderOutcome.FAILED, reminder.why or "")
    )


@transaction.atomic
def reminder_settle(
    *, reminder: Reminder, outcome: Outcome, now: datetime, settles: Sequence[Callable[[], None]]
) -> None:
    """What came of it, and in the same transaction what that means for each address.

    Says nothing about a claim that was given up meanwhile.
    """
    mine = Reminder.objects.filter(
        id=reminder.id, outcome=ReminderOutcome.CLAIMED, tries=reminder.tries
    )
    settled = _settled(reminder, outcome, now)
    mine.update(why=outcome.why[:40], **settled)
    if settled["outcome"] == ReminderOutcome.FAILED and reminder.kind == ReminderKind.DUE:
        # Looked at once more: another way may take it.
        settings = ReminderSetting.objects.filter(patient_id=reminder.patient_id)
        settings.filter(next_at__gt=now).update(next_at=now)
    for settle in settles:
        settle()


def _settled(reminder: Reminder, outcome: Outcome, now: datetime) -> dict:
    more = reminder.tries < REMINDER_TRIES
    match outcome.result:
        case Result.SENT:
            return {"outcome": ReminderOutcome.SENT, "ended_at": now}
        case Result.UNKNOWN:
            return {"outcome": ReminderOutcome.UNKNOWN, "ended_at": now}
        case Result.GONE if more:
            return {"outcome": ReminderOutcome.LATER, "retry_at": now}  # by another way
        case Result.LATER if more and outcome.at < reminder.until:
            return {"outcome": ReminderOutcome.LATER, "retry_at": outcome.at}
    return {"outcome": ReminderOutcome.FAILED, "ended_at": now}


def claims_expire(*, now: datetime) -> int:
    """Claims whose worker is gone: whether they went out is not known, so never again."""
    lost = Reminder.objects.filter(outcome=ReminderOutcome.CLAIMED, lease_until__lte=now)
    return lost.update(outcome=ReminderOutcome.UNKNOWN, why="worker_gone", ended_at=now)
