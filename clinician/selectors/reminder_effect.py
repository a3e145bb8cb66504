"""What reminders do at one clinic: logs after them, refusals, messages that reached nobody."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import QuerySet

from clinician.models import OptOut, Reminder, ReminderKind, ReminderOutcome
from clinician.selectors.reminder_cases import logged_moments
from homeprogram.calc.days import ONE_DAY, days_between, local_day
from homeprogram.calc.limits import (
    REMINDER_EFFECT_DAYS,
    STOPPED_DAYS,
    STOPPED_LEAST,
    STOPPED_SHARE_MOST,
)
from homeprogram.calc.reminder_effect import Effect, effect
from homeprogram.calc.schedule import due_on
from homeprogram.models import Clinic, Ended, Patient, PushSubscription
from homeprogram.selectors.plans import Context, contexts


@dataclass(frozen=True, slots=True)
class StopShare:
    """Of the patients reminded of late, how many stopped it: a way of it, or notices on a phone."""

    reminded: int
    stopped: int

    @property
    def is_high(self) -> bool:
        return self.reminded >= STOPPED_LEAST and self.stopped > STOPPED_SHARE_MOST * self.reminded


@dataclass(frozen=True, slots=True)
class EffectPage:
    days: int
    effect: Effect
    share: StopShare
    outcomes: list[tuple[str, int]]
    dead: int  # phones that their push service knows no more


def stop_share(*, clinic: Clinic, now: datetime) -> StopShare:
    since = now - timedelta(days=STOPPED_DAYS)
    sent = Reminder.objects.filter(clinic=clinic, outcome=ReminderOutcome.SENT, due_at__gte=since)
    reminded = set(sent.values_list("patient_id", flat=True))
    said_no = OptOut.objects.filter(clinic=clinic, at__gte=since)
    stopped = set(said_no.values_list("patient_id", flat=True))
    turned_off = _ended(clinic, since).filter(ended_why=Ended.TURNED_OFF)
    stopped |= set(turned_off.values_list("patient_id", flat=True))
    return StopShare(len(reminded), len(reminded & stopped))


def _ended(clinic: Clinic, since: datetime) -> QuerySet[PushSubscription]:
    return PushSubscription.objects.filter(clinic=clinic, ended_at__gte=since)


def effect_page(*, clinic: Clinic, now: datetime) -> EffectPage:
    since = now - timedelta(days=REMINDER_EFFECT_DAYS)
    rows = Reminder.objects.filter(clinic=clinic, kind=ReminderKind.DUE, due_at__gte=since)
    sent = defaultdict(list)
    outcomes: dict[str, int] = defaultdict(int)
    for row in rows:
        outcomes[str(row.get_outcome_display())] += 1
        if row.outcome == ReminderOutcome.SENT:
            sent[row.patient_id].append(row.ended_at)
    return EffectPage(
        days=REMINDER_EFFECT_DAYS,
        effect=_effect(sent, since, now),
        share=stop_share(clinic=clinic, now=now),
        outcomes=sorted(outcomes.items()),
        dead=_ended(clinic, since).filter(ended_why=Ended.GONE).count(),
    )


def _effect(sent: dict[UUID, list[datetime]], since: datetime, now: datetime) -> Effect:
    patients = Patient.objects.filter(id__in=sent).select_related("clinic")
    logged = logged_moments(patients=sent, since=since)
    found = Effect()
    for context in contexts(patients=list(patients), now=now, days_back=0):
        patient_id = context.patient.id
        found += effect(
            sent[patient_id],
            _due_days(context, since),
            logged[patient_id],
            context.zone,
            now,
        )
    return found


def _due_days(context: Context, since: datetime) -> Sequence:
    plans = [context.plan(episode) for episode in context.episodes]
    # Of the first day's logs those before `since` were not read.
    days = days_between(local_day(since, context.zone) + ONE_DAY, context.today)
    return [day for day in days if any(due_on(plan, day).due for plan in plans)]
