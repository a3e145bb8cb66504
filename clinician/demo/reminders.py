"""Reminders of the demo: agreed with some, sent by a channel that only nods, stopped by one."""

from dataclasses import dataclass
from datetime import datetime, time

from django.conf import settings

from clinician.demo.case import Case
from clinician.demo.diary import Diary
from clinician.models import Reminder, Way
from clinician.selectors.reminder_cases import settings_with_patients, wanted, zone_of
from clinician.services.channels.email import EMAIL, Letter
from clinician.services.channels.outcome import Outcome
from clinician.services.channels.route import Route, Routes
from clinician.services.opt_outs import EVERY_WAY, reminders_stop
from clinician.services.reminder_claims import reminder_claim
from clinician.services.reminder_settings import reminder_settings_set
from clinician.services.reminders import message_send, reaches_by
from homeprogram.calc.reminders import next_look

AGREED_AT = time(11, 30)
BEFORE_THE_MORNING_BOUT = time(8, 15)
BEFORE_THE_EVENING_BOUT = time(17)
# By story: the day it was agreed, from today, and the hour.
AGREED = {
    "steady": (-25, BEFORE_THE_MORNING_BOUT),
    "fading": (-12, BEFORE_THE_EVENING_BOUT),
    "silent_phone": (-14, BEFORE_THE_EVENING_BOUT),
    "two_limbs": (-18, BEFORE_THE_MORNING_BOUT),
    "near_end": (-30, BEFORE_THE_EVENING_BOUT),
}
STOPPED = {"two_limbs": -6}
STOPPED_AT = time(12, 40)


@dataclass(frozen=True, slots=True)
class Nodding:
    """Takes every letter and carries it nowhere: these days are past."""

    def send(self, *, to: Letter, message_id: object, until: datetime, now: datetime) -> Outcome:
        return Outcome.sent()

    def settle(self, *, to: Letter, outcome: Outcome, now: datetime) -> None:
        """There is nothing to remember."""


ROUTES: Routes = {Way.EMAIL: Route(Nodding(), EMAIL.reaches, EMAIL.addresses)}
REACHES = reaches_by(ROUTES)


def reminders_add(diary: Diary, key: str) -> None:
    """What was agreed, and from then on each day's moment of it."""
    if key not in AGREED:
        return
    first, wall = AGREED[key]
    diary.day(first).then(AGREED_AT, lambda case, at: _agree(case, wall, at))
    for day in diary.span(first + 1, 0):
        day.then(wall, _remind)
    if key in STOPPED:
        diary.day(STOPPED[key]).then(STOPPED_AT, _stop)


def _agree(case: Case, wall: time, at: datetime) -> None:
    name = case.member.name.lower().replace(" ", ".")
    reminder_settings_set(
        patient=case.patient,
        by=case.by,
        on=True,
        times=[wall],
        ways=[Way.EMAIL],
        email=f"{name}@post.example",
        now=at,
    )


def _remind(case: Case, at: datetime) -> None:
    """As the clock would have done at that moment, for this patient alone."""
    setting = settings_with_patients().get(patient=case.patient)
    next_at = next_look(wanted(setting, (), REACHES), zone_of(setting), at)
    claimed = reminder_claim(setting=setting, next_at=next_at, now=at, reaches=REACHES)
    if claimed:
        message_send(reminder=claimed, routes=ROUTES, site=settings.SITE_URL, clock=lambda: at)


def _stop(case: Case, at: datetime) -> None:
    """By the button that every message leads to."""
    last = Reminder.objects.filter(patient=case.patient).latest("claimed_at")
    reminders_stop(patient=case.patient, ways=EVERY_WAY, reminder=last, now=at)
