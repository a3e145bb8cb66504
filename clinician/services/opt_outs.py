"""A patient's no. It counts at once, for what is being sent this moment too."""

import time
from collections.abc import Callable, Collection
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from clinician.models import OptOut, Reminder, ReminderOutcome, ReminderSetting, Way
from homeprogram.models import Clinician, Patient, Phone
from homeprogram.services.subscriptions import subscription_turn_off

# Every way there is, set up or not: one added later asks the patient anew.
EVERY_WAY = tuple(Way.values)
# How long a sending that has begun is waited for. Most take a moment; a slow one may take longer.
PATIENCE = timedelta(seconds=15)
LOOK_EVERY_S = 0.02


def reminders_stop(
    *,
    patient: Patient,
    ways: Collection[str],
    now: datetime,
    reminder: Reminder | None = None,
    told_to: Clinician | None = None,
    pause: Callable[[float], None] = time.sleep,
) -> None:
    """No sending by these ways begins after this. Safe to repeat.

    A message that another worker is handing over at this moment is waited for, but
    not for ever: whoever is told "stopped" hears that one may still come.
    """
    _refuse(patient, ways, now, reminder, told_to)
    until = timezone.now() + PATIENCE
    while _in_flight(patient, ways).exists() and timezone.now() < until:
        pause(LOOK_EVERY_S)


def phone_stop(*, phone: Phone, reminder_id: UUID | None, now: datetime) -> None:
    """Stopped from a notice on this phone: every way, and this phone is forgotten.

    The phone says it again until it hears us, perhaps long after: what was written
    down of that notice is not written again, or it would undo a later yes. A notice
    to whoever had the phone before stops nothing for its patient of today.
    """
    reminder = Reminder.objects.filter(id=reminder_id).first()
    if reminder and reminder.patient_id != phone.patient_id:
        return
    subscription_turn_off(phone=phone, now=now)
    said = OptOut.objects.filter(reminder=reminder) if reminder else OptOut.objects.none()
    ways = set(EVERY_WAY) - set(said.values_list("way", flat=True))
    _refuse(phone.patient, ways, now, reminder, told_to=None)


@transaction.atomic
def _refuse(
    patient: Patient,
    ways: Collection[str],
    now: datetime,
    reminder: Reminder | None,
    told_to: Clinician | None,
) -> None:
    _locked(patient)
    standing = set(
        OptOut.objects.filter(patient=patient, ended_at=None).values_list("way", flat=True)
    )
    OptOut.objects.bulk_create(
        OptOut(
            clinic_id=patient.clinic_id,
            patient=patient,
            way=way,
            at=now,
            reminder=reminder,
            told_to=told_to,
        )
        for way in Way.values
        if way in ways and way not in standing
    )
    waiting = Reminder.objects.filter(patient=patient, way__in=ways, outcome=ReminderOutcome.LATER)
    waiting.update(outcome=ReminderOutcome.STOPPED, ended_at=now, retry_at=None)


def _in_flight(patient: Patient, ways: Collection[str]):
    return Reminder.objects.filter(
        patient=patient,
        way__in=ways,
        outcome=ReminderOutcome.CLAIMED,
        lease_until__gt=timezone.now(),
    )


@transaction.atomic
def reminders_wanted_again(
    *, patient: Patient, ways: Collection[str], by: Clinician, now: datetime
) -> None:
    """The patient asked for them again; who heard it is kept."""
    _locked(patient)
    OptOut.objects.filter(patient=patient, way__in=ways, ended_at=None).update(
        ended_at=now, ended_by=by
    )


def _locked(patient: Patient) -> ReminderSetting | None:
    return ReminderSetting.objects.select_for_update().filter(patient=patient).first()
