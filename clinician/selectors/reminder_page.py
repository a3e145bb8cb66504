"""A patient's reminders as the desk shows them: what is agreed, what comes, what came of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from clinician.models import (
    OptOut,
    Reminder,
    ReminderKind,
    ReminderOutcome,
    ReminderSetting,
    Way,
)
from clinician.selectors.reminder_cases import (
    Reaches,
    case_of,
    logged_moments,
    settings_with_patients,
    zone_of,
)
from clinician.selectors.words import day_short, listed, moment_short
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.limits import REMINDER_EFFECT_H
from homeprogram.calc.reminders import Planned, Why, preview
from homeprogram.models import Patient

HISTORY_MOST = 30
EFFECT = timedelta(hours=REMINDER_EFFECT_H)
WHY = {
    Why.OFF: "reminders are off",
    Why.NO_CHANNEL: "no way to reach the patient",
    Why.LOGGED: "something is logged",
    Why.RESTING: "on hold, paused or excused",
    Why.NOT_DUE: "nothing is due",
    Why.DAY_CAP: "one a day is the most",
    Why.WEEK_CAP: "three in seven days are the most",
    Why.UNANSWERED: "three stayed unanswered: one a week",
    Why.NO_TIME: "the clocks leave that time out",
    Why.QUIET_HOURS: "quiet hours",
    Why.PASSED: "its time is over",
}
# Codes of the channels that say more than "could not be delivered".
FAULTS = {
    "too_late": "its time was over",
    "no_longer_due": "something was logged or changed before it could go",
    "stopped": "the patient stopped it before it went",
    "worker_gone": "the server stopped while it went out",
    "unknown_there": "the phone no longer takes notices",
}


@dataclass(frozen=True, slots=True)
class PlanLine:
    day: str
    sent: bool
    what: str


@dataclass(frozen=True, slots=True)
class SentLine:
    at: str
    kind: str
    way: str
    outcome: str
    word: str
    effect: str


@dataclass(frozen=True, slots=True)
class ReminderPage:
    agreed: str
    stopped: list[str]
    plan: list[PlanLine]
    history: list[SentLine]
    zone: str
    can_ask: bool
    no_notices: bool  # agreed, and no phone takes them


def setting_of(*, patient: Patient) -> ReminderSetting | None:
    return settings_with_patients().filter(patient=patient).first()


def ways_stopped(*, patient: Patient) -> list[str]:
    standing = OptOut.objects.filter(patient=patient, ended_at=None)
    return list(standing.order_by("at").values_list("way", flat=True))


def notices_stopped(*, patient: Patient) -> bool:
    return Way.PUSH in ways_stopped(patient=patient)


def reminder_page(*, patient: Patient, now: datetime, reaches: Reaches) -> ReminderPage:
    setting = setting_of(patient=patient)
    zone = zone_or_utc(patient.zone)
    sent = list(
        Reminder.objects.filter(patient=patient).order_by("-due_at", "-claimed_at")[:HISTORY_MOST]
    )
    opt_outs = OptOut.objects.filter(patient=patient, ended_at=None)
    since = sent[-1].claimed_at if sent else now
    logged = logged_moments(patients=[patient], since=since)[patient.id]
    plan: list[Planned] = []
    if setting:
        setting.patient = patient
        plan = preview(case_of(setting, now=now, reaches=reaches), now)
    return ReminderPage(
        agreed=agreed_words(setting),
        stopped=stopped_words(opt_outs, zone),
        plan=[_plan_line(one, zone_of(setting)) for one in plan],
        history=[_sent_line(one, logged, now, zone) for one in sent],
        zone=patient.zone,
        can_ask=setting is not None,
        no_notices=setting is not None and Way.PUSH in setting.ways and not setting.rings,
    )


def stopped_words(opt_outs: Iterable[OptOut], zone: ZoneInfo) -> list[str]:
    """`opt_outs` = those in force."""
    ordered = sorted(opt_outs, key=lambda one: (one.at, one.way))
    return [f"{_way(one.way)}, {moment_short(one.at, zone)}" for one in ordered]


def agreed_words(setting: ReminderSetting | None) -> str:
    if setting is None:
        return "Nothing is agreed yet."
    ways = listed([_way(way) for way in setting.ways])
    if not setting.on:
        return "Reminders are off."
    return f"At {listed(setting.times)} on due days with nothing logged, by {ways}."


def _way(way: str) -> str:
    return str(Way(way).label)


def _plan_line(planned: Planned, zone: ZoneInfo) -> PlanLine:
    if planned.why:
        return PlanLine(day_short(planned.day), sent=False, what=WHY[planned.why])
    at = planned.at.astimezone(zone)
    return PlanLine(day_short(planned.day), sent=True, what=f"{at:%H:%M}, {_way(planned.channel)}")


def _sent_line(
    sent: Reminder, logged: Sequence[datetime], now: datetime, zone: ZoneInfo
) -> SentLine:
    return SentLine(
        at=moment_short(sent.claimed_at, zone),
        kind=sent.get_kind_display(),
        way=_way(sent.way),
        outcome=sent.outcome,
        word=_word(sent),
        effect=_effect(sent, logged, now),
    )


def _word(sent: Reminder) -> str:
    word = str(sent.get_outcome_display())
    fault = FAULTS.get(sent.why, "")
    return f"{word}: {fault}" if fault and sent.outcome != ReminderOutcome.SENT else word


def _effect(sent: Reminder, logged: Sequence[datetime], now: datetime) -> str:
    """Something logged soon after; that it came of the reminder, nobody can know."""
    if sent.outcome != ReminderOutcome.SENT or sent.kind != ReminderKind.DUE:
        return ""
    after = [at for at in logged if sent.ended_at <= at < sent.ended_at + EFFECT]
    if after:
        minutes = (min(after) - sent.ended_at) // timedelta(minutes=1)
        return f"logged {minutes} min later"
    if now < sent.ended_at + EFFECT:
        return "too early to say"
    return f"nothing logged within {REMINDER_EFFECT_H} h"
