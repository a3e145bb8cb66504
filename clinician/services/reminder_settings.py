"""Reminders as agreed with a patient."""

from collections.abc import Sequence
from datetime import datetime, time

from django.db import transaction

from clinician.models import ReminderSetting
from clinician.selectors.reminder_cases import wanted, zone_of
from clinician.services.opt_outs import reminders_wanted_again
from homeprogram.calc.reminders import next_look
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Patient


@transaction.atomic
def reminder_settings_set(
    *,
    patient: Patient,
    by: Clinician,
    on: bool,
    times: Sequence[time],
    ways: Sequence[str],
    now: datetime,
    asked_again: Sequence[str] = (),
    **more,
) -> ReminderSetting:
    """What was agreed, from now on. `asked_again` = ways the patient had stopped and wants back.

    `more` = email, mobile, language.
    """
    if on and not times:
        raise _lacking("times", "Name a time of day.")
    if on and not ways:
        raise _lacking("ways", "Choose at least one way.")
    setting = ReminderSetting.objects.select_for_update().filter(patient=patient).first()
    setting = setting or ReminderSetting(clinic_id=patient.clinic_id, patient=patient)
    for name, value in more.items():
        setattr(setting, name, value)
    setting.on, setting.ways = on, list(ways)
    setting.times = sorted(f"{wall:%H:%M}" for wall in set(times))
    setting.since, setting.set_by = now, by
    setting.next_at = next_look(wanted(setting, (), lambda *_: True), zone_of(setting), now)
    setting.full_clean(exclude=["times", "ways", "next_at"])
    setting.save()
    reminders_wanted_again(patient=patient, ways=asked_again, by=by, now=now)
    return setting


def _lacking(field: str, message: str) -> RuleBroken:
    return RuleBroken(message, code=f"reminder_{field}_missing", fields={field: message})
