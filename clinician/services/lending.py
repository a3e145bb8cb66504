"""Stimulators that the clinic lends: checks, cleaning, quarantine, hand-out, return."""

from datetime import date, datetime, time

from django.db import IntegrityError, transaction

from clinician.models import Loan, Stimulator, StimulatorAct, StimulatorEvent
from clinician.selectors.lending import obstacles
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinic, Clinician, Patient, StimulatorProfile


@transaction.atomic
def stimulator_own_add(
    *,
    clinic: Clinic,
    by: Clinician,
    profile: StimulatorProfile,
    asset_number: str,
    now: datetime,
    leads: str = "",
    checked_on: date | None = None,
    check_due_on: date | None = None,
) -> Stimulator:
    """One more to lend. Until its safety check is written down it stays in the store."""
    if Stimulator.objects.filter(clinic=clinic, asset_number=asset_number).exists():
        message = "The clinic has a stimulator of this asset number."
        raise RuleBroken(message, code="asset_number_taken", fields={"asset_number": message})
    own = Stimulator(
        clinic=clinic, profile=profile, asset_number=asset_number, leads=leads, created_at=now
    )
    own.full_clean()
    own.save()
    if checked_on:
        act = StimulatorAct.CHECKED
        stimulator_act(stimulator=own, by=by, act=act, on=checked_on, due_on=check_due_on, now=now)
    return own


@transaction.atomic
def stimulator_act(
    *,
    stimulator: Stimulator,
    by: Clinician,
    act: str,
    on: date,
    now: datetime,
    due_on: date | None = None,
    note: str = "",
) -> StimulatorEvent:
    """Write down what was done to it, and let its columns follow."""
    own = Stimulator.objects.select_for_update().get(id=stimulator.id)
    event = StimulatorEvent(
        clinic=own.clinic,
        stimulator=own,
        act=act,
        on=on,
        due_on=due_on if act == StimulatorAct.CHECKED else None,
        note=note.strip(),
        by=by,
        at=now,
    )
    _refuse_senseless(event, _today(own.clinic, now))
    event.full_clean()
    event.save()
    _follow(own, event)
    own.save()
    return event


def _follow(own: Stimulator, event: StimulatorEvent) -> None:
    """What was done earlier and is written down late puts nothing newer back."""
    if event.act == StimulatorAct.CHECKED:
        if own.checked_on is None or event.on >= own.checked_on:
            own.checked_on, own.check_due_on = event.on, event.due_on
    elif event.act == StimulatorAct.CLEANED:
        cleaned_at = min(event.at, _day_ends(event.on, own.clinic))
        own.cleaned_at = max(own.cleaned_at or cleaned_at, cleaned_at)
    elif event.act == StimulatorAct.QUARANTINED:
        own.quarantined_at, own.quarantine_reason = event.at, event.note
    elif event.act == StimulatorAct.RELEASED:
        own.quarantined_at, own.quarantine_reason = None, ""
    elif event.act == StimulatorAct.RETIRED:
        own.retired_at = event.at


def _refuse_senseless(event: StimulatorEvent, today: date) -> None:
    own, act = event.stimulator, event.act
    if event.on > today:
        message = "This day is still to come."
        raise RuleBroken(message, code="day_to_come", fields={"on": message})
    if act == StimulatorAct.CHECKED and (event.due_on is None or event.due_on <= event.on):
        message = "Say when the next check is due; a day after this one."
        raise RuleBroken(message, code="check_due_missing", fields={"due_on": message})
    if act in (StimulatorAct.QUARANTINED, StimulatorAct.RELEASED) and not event.note:
        message = "Say why."
        raise RuleBroken(message, code="reason_missing", fields={"note": message})
    if act == StimulatorAct.RELEASED and own.quarantined_at is None:
        raise RuleBroken("It is not in quarantine.", code="not_in_quarantine")
    if act == StimulatorAct.RETIRED and own.loans.filter(returned_at=None).exists():
        raise RuleBroken("It is lent. Take it back first.", code="still_lent")


@transaction.atomic
def loan_open(
    *,
    stimulator: Stimulator,
    patient: Patient,
    by: Clinician,
    due_back_on: date,
    now: datetime,
    went_with: str = "",
    cleaned: bool = False,
    override_reason: str = "",
) -> Loan:
    """Hand it out. What stands against it a lead may override, with a reason.

    `cleaned` = cleaned just now; asked for when it was not since its last return.
    """
    own = Stimulator.objects.select_for_update().get(id=stimulator.id)
    today, reason = _today(own.clinic, now), override_reason.strip()
    if due_back_on < today:
        message = "It cannot be due back on a day that is over."
        raise RuleBroken(message, code="due_back_over", fields={"due_back_on": message})
    _refuse_unfit(own, by, reason, today)
    if cleaned:
        stimulator_act(stimulator=own, by=by, act=StimulatorAct.CLEANED, on=today, now=now)
    elif _uncleaned(own):
        message = (
            f"{own.asset_number} was not cleaned since it came back. Clean it, then tick this."
        )
        raise RuleBroken(message, code="not_cleaned", fields={"cleaned": message})
    loan = Loan(
        clinic=own.clinic,
        stimulator=own,
        patient=patient,
        went_with=went_with.strip(),
        lent_at=now,
        lent_by=by,
        due_back_on=due_back_on,
        override_reason=reason,
    )
    loan.full_clean(validate_constraints=False)
    try:
        with transaction.atomic():
            loan.save()
    except IntegrityError:
        message = f"{own.asset_number} is lent to somebody already. Choose another one."
        raise RuleBroken(message, code="already_lent", fields={"stimulator": message}) from None
    return loan


def _refuse_unfit(own: Stimulator, by: Clinician, reason: str, today: date) -> None:
    if own.retired_at:
        message = f"{own.asset_number} is out of use. Choose another one."
        raise RuleBroken(message, code="out_of_use", fields={"stimulator": message})
    against = obstacles(own, today)
    if against and not (by.is_lead and reason):
        ways = (
            "As a lead you may lend it all the same: say why."
            if by.is_lead
            else "Choose another one, or ask a lead, who may override this with a reason."
        )
        message = f"{own.asset_number}: {' '.join(against)} {ways}"
        raise RuleBroken(message, code="not_fit_to_lend", fields={"stimulator": message})


def _uncleaned(own: Stimulator) -> bool:
    last = own.loans.filter(returned_at__isnull=False).order_by("-returned_at").first()
    return last is not None and (own.cleaned_at is None or own.cleaned_at < last.returned_at)


@transaction.atomic
def loan_return(
    *,
    loan: Loan,
    by: Clinician,
    now: datetime,
    note: str = "",
    cleaned: bool = False,
    quarantine: str = "",
) -> None:
    """It is back. `quarantine` = why it must not go out again as it is."""
    changed = Loan.objects.filter(id=loan.id, returned_at=None).update(
        returned_at=now, returned_to=by, return_note=note.strip()
    )
    if not changed:
        raise RuleBroken("Somebody took it back already.", code="already_returned")
    today = _today(loan.clinic, now)
    did: list[tuple[str, str]] = [(StimulatorAct.CLEANED, "")] if cleaned else []
    did += [(StimulatorAct.QUARANTINED, quarantine)] if quarantine.strip() else []
    for act, why in did:
        stimulator_act(stimulator=loan.stimulator, by=by, act=act, on=today, note=why, now=now)


def _day_ends(day: date, clinic: Clinic) -> datetime:
    return datetime.combine(day, time.max, tzinfo=zone_or_utc(clinic.zone))


def _today(clinic: Clinic, now: datetime) -> date:
    return local_day(now, zone_or_utc(clinic.zone))
