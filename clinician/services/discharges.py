"""End an episode through its list: every item done, or not needed, because."""

from collections.abc import Mapping
from datetime import datetime
from uuid import uuid4

from django.db import transaction

from clinician.models import Discharge, ReminderSetting
from clinician.selectors.discharge import ITEMS, letter_of, others_open, unmet
from clinician.selectors.lending import open_loans
from clinician.selectors.words import listed
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Episode, Phone, PhoneState
from homeprogram.services.changes import patient_lock
from homeprogram.services.episodes import episode_end
from homeprogram.services.pairing import phone_revoke


@transaction.atomic
def episode_discharge(
    *,
    episode: Episode,
    by: Clinician,
    reason: str,
    items: Mapping[str, str],
    now: datetime,
    home_plan: str = "",
) -> Discharge:
    """`items` = {code: "" where it was done, else why it is not needed}.

    The phone and the reminders stay where another limb goes on.
    """
    patient_lock(patient_id=episode.patient_id)
    missing = set(ITEMS) - set(items)
    if missing:
        raise RuleBroken(
            "Every item of the list is done, or not needed, because.",
            code="discharge_incomplete",
            fields=dict.fromkeys(sorted(missing), "Say which."),
        )
    if not items["stimulator"] and (lent := open_loans(patient=episode.patient)):
        numbers = listed([loan.stimulator.asset_number for loan in lent])
        message = f"Still lent: {numbers}. Take it back first, or say why not."
        raise RuleBroken(message, code="still_lent", fields={"stimulator": message})
    still_unmet, letter = unmet(episode=episode, now=now), letter_of(episode=episode, now=now)
    key = uuid4()
    ended_on = episode_end(episode=episode, by=by, reason=reason, now=now, about=key)
    discharge = Discharge(
        id=key,
        clinic_id=episode.clinic_id,
        patient=episode.patient,
        episode=episode,
        ended_on=ended_on,
        reason=reason,
        items=[
            {"code": code, "state": "not_needed" if why else "done", "because": why}
            for code, why in items.items()
        ],
        unmet=still_unmet,
        home_plan=home_plan,
        letter=letter,
        discharged_by=by,
        discharged_at=now,
    )
    discharge.full_clean()
    discharge.save(force_insert=True)
    if not others_open(episode):
        _let_go(episode, by, items, now)
    return discharge


def _let_go(episode: Episode, by: Clinician, items: Mapping[str, str], now: datetime) -> None:
    if not items["reminders"]:
        ReminderSetting.objects.filter(patient=episode.patient, on=True).update(
            on=False, next_at=None, since=now, set_by=by
        )
    if not items["phone"]:
        for phone in Phone.objects.filter(patient=episode.patient, state=PhoneState.ACTIVE):
            phone_revoke(phone=phone, state=PhoneState.REPLACED, now=now)
