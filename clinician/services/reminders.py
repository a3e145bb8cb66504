"""The clock's round of reminders: who is due, one claim at a time, one message a claim."""

import logging
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils import timezone

from clinician.models import Reminder, ReminderOutcome, ReminderSetting, Way
from clinician.selectors.reminder_cases import cases, settings_with_patients
from clinician.services.channels import Channel, Delivered, Delivery, Message
from clinician.services.reminder_claims import (
    claims_expire,
    reminder_claim,
    reminder_claim_again,
    reminder_settle,
    settings_pass,
    settings_take,
)
from clinician.services.stop_tokens import stop_token
from homeprogram.calc.reminders import next_look, reminder_due

log = logging.getLogger(__name__)
Clock = Callable[[], datetime]
Channels = Mapping[Way, Channel]


@dataclass(slots=True)
class Round:
    """What one round did."""

    looked: int = 0
    sent: int = 0
    failed: int = 0
    lost: int = 0  # claims of workers that died

    def __str__(self) -> str:
        return (
            f"{self.looked} patients looked at, {self.sent} sent, "
            f"{self.failed} not delivered, {self.lost} not known"
        )


def reaches_by(channels: Channels) -> Callable[[ReminderSetting, Way], bool]:
    return lambda setting, way: way in channels and channels[way].reaches(setting)


def reminders_tick(
    *,
    channels: Channels,
    site: str,
    clock: Clock = timezone.now,
    progress: Callable[[int, int], None] | None = None,
) -> Round:
    """Send what is due now. `site` = the address before every path, `clock` = the time as it
    passes: a long round must not send into the quiet hours by the time of its beginning."""
    done = Round(lost=claims_expire(now=clock()))
    for reminder in _to_try_again(clock()):
        again = reminder_claim_again(reminder=reminder, now=clock(), reaches=reaches_by(channels))
        if again:
            _hand_over(again, channels, site, clock, done)
    while settings := settings_take(now=clock()):
        for setting, next_at in _due(settings, channels, clock()):
            claimed = reminder_claim(
                setting=setting, next_at=next_at, now=clock(), reaches=reaches_by(channels)
            )
            if claimed:
                _hand_over(claimed, channels, site, clock, done)
        done.looked += len(settings)
        if progress:
            progress(done.looked, done.looked)
    return done


def _to_try_again(now: datetime) -> list[Reminder]:
    return list(
        Reminder.objects.filter(outcome=ReminderOutcome.LATER, retry_at__lte=now).order_by(
            "retry_at"
        )
    )


def _due(
    settings: Sequence[ReminderSetting], channels: Channels, now: datetime
) -> list[tuple[ReminderSetting, datetime | None]]:
    """Those with something to send, as far as can be seen without a lock; the rest is passed."""
    due, passed = [], defaultdict(list)
    found = cases(settings, now=now, reaches=reaches_by(channels))
    for setting, case in zip(settings, found, strict=True):
        next_at = next_look(case.wanted, case.zone, now)
        if reminder_due(case, now):
            due.append((setting, next_at))
        else:
            passed[next_at].append(setting)
    for next_at, several in passed.items():
        settings_pass(several, next_at)
    return due


def _hand_over(
    reminder: Reminder, channels: Channels, site: str, clock: Clock, done: Round
) -> None:
    delivered = message_send(reminder=reminder, channels=channels, site=site, clock=clock)
    done.sent += delivered.delivery is Delivery.SENT
    done.failed += delivered.delivery in {Delivery.REFUSED, Delivery.GONE, Delivery.LATER}
    done.lost += delivered.delivery is Delivery.UNKNOWN


def message_send(
    *, reminder: Reminder, channels: Channels, site: str, clock: Clock = timezone.now
) -> Delivered:
    """Hand one claimed message over and write down what came of it."""
    setting = settings_with_patients().get(patient_id=reminder.patient_id)
    message = Message(
        id=reminder.id,
        language=setting.language,
        wording=reminder.wording,
        until=reminder.until,
        open_url=site + reverse("patient-shell"),
        stop_url=site + reverse("reminder-stop", kwargs={"token": stop_token(reminder)}),
    )
    try:
        delivered = channels[Way(reminder.way)].send(setting, message, clock())
    except Exception as error:  # noqa: BLE001  it may have gone out: counted as that
        delivered = Delivered(Delivery.UNKNOWN, type(error).__name__)
    if delivered.delivery is not Delivery.SENT:
        # A code, never an address and never what a server wrote.
        log.error("reminder %s: %s %s", reminder.id, delivered.delivery, delivered.why)
    reminder_settle(reminder=reminder, delivered=delivered, now=clock())
    return delivered
