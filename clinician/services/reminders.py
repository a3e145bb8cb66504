"""The clock's round of reminders: who is due, one claim at a time, one message a claim."""

import logging
import math
import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from uuid import UUID

from django.db.models import Exists
from django.urls import reverse
from django.utils import timezone

from clinician.models import OptOut, Reminder, ReminderOutcome, ReminderSetting, Way
from clinician.selectors.reminder_cases import (
    Reaches,
    but_failed,
    cases,
    settings_with_patients,
)
from clinician.services.channels.outcome import Outcome, Result
from clinician.services.channels.route import Message, Route, Routes
from clinician.services.reminder_claims import (
    CHUNK,
    claims_expire,
    reminder_claim,
    reminder_claim_again,
    reminder_settle,
    settings_pass,
    settings_take,
)
from clinician.services.stop_tokens import stop_token
from homeprogram.calc.closures import is_closed
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.reminders import Case, next_look, reminder_due
from homeprogram.models import Clinic

log = logging.getLogger(__name__)
Clock = Callable[[], datetime]
Claim = Callable[..., Reminder | None]  # of `now`


@dataclass(slots=True)
class Round:
    """What one round did."""

    looked: int = 0
    sent: int = 0
    failed: int = 0
    lost: int = 0  # not known whether they went out
    broken: int = 0  # patients whose reminder could not be worked out
    more: bool = False  # the time was up before the work was

    def __str__(self) -> str:
        return (
            f"{self.looked} patients looked at, {self.sent} sent, "
            f"{self.failed} not delivered, {self.lost} not known, {self.broken} broken"
        )


def reaches_by(routes: Routes) -> Reaches:
    return lambda setting, way: way in routes and routes[way].reaches(setting)


def reminders_tick(
    *,
    routes: Routes,
    site: str,
    clock: Clock = timezone.now,
    chunk: int = CHUNK,
    progress: Callable[[int, int], None] | None = None,
    for_s: float = math.inf,
) -> Round:
    """Send what is due now. `site` = the address before every path, `clock` = the time as it
    passes: a long round must not send into the quiet hours by the time of its beginning. `chunk` =
    how many patients one worker looks at before it lets another have the next. After `for_s`
    seconds no other message is begun; what is left is as due as before."""
    reaches = reaches_by(routes)
    done = Round(lost=claims_expire(now=clock()))
    ends = time.monotonic() + for_s

    def hand_over(claims: Iterable[tuple[UUID, Claim]]) -> int:
        """How many of them there was time for."""
        had = 0
        for of, claim in claims:
            try:
                if claimed := claim(now=clock()):
                    _hand_over(claimed, routes, site, clock, done)
            except Exception as error:  # noqa: BLE001  counted, told, and never another's problem
                _broken(done, of, error)
            had += 1
            if time.monotonic() >= ends:
                done.more = True
                break
        return had

    hand_over(
        (one.patient_id, partial(reminder_claim_again, reminder=one, reaches=reaches))
        for one in _to_try_again(clock())
    )
    while not done.more and (settings := settings_take(now=clock(), chunk=chunk)):
        patients = [setting.patient_id for setting in settings]
        standing = but_failed(reaches, patients=patients, now=clock())
        due = _due(settings, standing, clock(), done)
        had = hand_over(
            (
                setting.patient_id,
                partial(reminder_claim, setting=setting, next_at=next_at, reaches=reaches),
            )
            for setting, next_at in due
        )
        left = [setting for setting, _ in due[had:]]
        settings_pass(left, clock())
        done.looked += len(settings) - len(left)
        done.more = time.monotonic() >= ends
        if progress:
            progress(done.looked, done.looked)
    return done


def _to_try_again(now: datetime) -> list[Reminder]:
    later = Reminder.objects.filter(outcome=ReminderOutcome.LATER, retry_at__lte=now)
    return list(later.order_by("retry_at"))


def _due(
    settings: Sequence[ReminderSetting], reaches: Reaches, now: datetime, done: Round
) -> list[tuple[ReminderSetting, datetime | None]]:
    """Those with something to send, as far as can be seen without a lock; the rest is passed."""
    due, passed = [], defaultdict(list)
    for setting, case in _cases(settings, reaches, now, done):
        next_at = next_look(case.wanted, case.zone, now)
        if reminder_due(case, now):
            due.append((setting, next_at))
        else:
            passed[next_at].append(setting)
    for next_at, several in passed.items():
        settings_pass(several, next_at)
    return due


def _cases(
    settings: Sequence[ReminderSetting], reaches: Reaches, now: datetime, done: Round
) -> Iterator[tuple[ReminderSetting, Case]]:
    """All at once; one by one where one of them breaks, which is looked at when its lease ends."""
    try:
        yield from zip(settings, cases(settings, now=now, reaches=reaches), strict=True)
    except Exception as error:  # noqa: BLE001  told by the caller's count
        if len(settings) == 1:
            _broken(done, settings[0].patient_id, error)
            return
        for setting in settings:
            yield from _cases([setting], reaches, now, done)


def _broken(done: Round, patient_id: UUID, error: Exception) -> None:
    done.broken += 1
    # The kind only: a message can quote the record.
    log.error("reminder of patient %s: %s", patient_id, type(error).__name__)


def _hand_over(reminder: Reminder, routes: Routes, site: str, clock: Clock, done: Round) -> None:
    result = message_send(reminder=reminder, routes=routes, site=site, clock=clock).result
    done.sent += result is Result.SENT
    done.lost += result is Result.UNKNOWN
    done.failed += result not in {Result.SENT, Result.UNKNOWN}


def message_send(
    *, reminder: Reminder, routes: Routes, site: str, clock: Clock = timezone.now
) -> Outcome:
    """Hand one claimed message over and write down what came of it."""
    setting, now = _setting_now(reminder), clock()
    message = Message(
        id=reminder.id,
        language=setting.language,
        wording=reminder.wording,
        until=reminder.until,
        open_url=site + reverse("patient-shell"),
        stop_url=site + reverse("reminder-stop", kwargs={"token": stop_token(reminder)}),
        closed=_is_closed(setting.patient.clinic, now),
    )
    route = routes[Way(reminder.way)]
    came, fault = [], _fault(setting, reminder, now)
    if fault is None:
        came = [(to, _sent(route, to, message, now)) for to in route.addresses(setting, message)]
    outcome = fault or _best(outcome for _, outcome in came)
    if outcome.result is not Result.SENT:
        # A code, never an address and never what a server wrote.
        log.error("reminder %s: %s %s", reminder.id, outcome.result, outcome.why)
    settles = [partial(route.channel.settle, to=to, outcome=one, now=now) for to, one in came]
    reminder_settle(reminder=reminder, outcome=outcome, now=clock(), settles=settles)
    return outcome


def _setting_now(reminder: Reminder) -> ReminderSetting:
    """`refused`: the patient has stopped this way, perhaps a moment ago."""
    no = OptOut.objects.filter(patient=reminder.patient_id, way=reminder.way, ended_at=None)
    settings = settings_with_patients().annotate(refused=Exists(no))
    return settings.get(patient_id=reminder.patient_id)


def _is_closed(clinic: Clinic, now: datetime) -> bool:
    return is_closed(clinic.closed_days, local_day(now, zone_or_utc(clinic.zone)))


def _fault(setting: ReminderSetting, reminder: Reminder, now: datetime) -> Outcome | None:
    """A worker that was held up after its claim may find that it must not send any more."""
    if setting.refused:
        return Outcome.failed("stopped")
    # Nobody waits for it any longer, a patient's stop neither.
    return Outcome.failed("too_late") if now >= reminder.lease_until else None


def _sent(route: Route, to: Any, message: Message, now: datetime) -> Outcome:
    try:
        return route.channel.send(to=to, message_id=message.id, until=message.until, now=now)
    except Exception as error:  # noqa: BLE001  it may have gone out: counted as that
        return Outcome.unknown(type(error).__name__)


# Where a patient has two phones, one that took it is enough.
BEST_FIRST = (Result.SENT, Result.UNKNOWN, Result.LATER, Result.FAILED, Result.GONE)


def _best(outcomes: Iterable[Outcome]) -> Outcome:
    return min(
        outcomes,
        key=lambda one: BEST_FIRST.index(one.result),
        default=Outcome.gone("nowhere"),
    )
