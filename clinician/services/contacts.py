"""The contact log: written once, corrected by another row."""

from datetime import datetime, timedelta

from django.db import IntegrityError, transaction

from clinician.models import Contact, ContactOutcome
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Flag, FlagOutcome, Patient, Visit
from homeprogram.services.flag_acts import flag_close

CLOCKS_APART = timedelta(minutes=15)  # the desk's clock may run ahead of ours


@transaction.atomic
def contact_record(
    *,
    patient: Patient,
    by: Clinician,
    at: datetime,
    now: datetime,
    way: str,
    direction: str,
    minutes: int | None,
    about: str,
    note: str,
    outcome: str = ContactOutcome.DONE,
    corrects: Contact | None = None,
    visit: Visit | None = None,
    closes: Flag | None = None,
    reason: str = "",
    known_until: datetime | None = None,
) -> Contact:
    """One contact; `corrects` = the row it takes the place of, which stays.

    `closes` = a flag that it answered, closed with `reason` in the same transaction,
    unless something newer than `known_until` has arrived on it.
    """
    if at > now + CLOCKS_APART:
        message = "A contact cannot be at a time to come."
        raise RuleBroken(message, code="contact_to_come", fields={"at": message})
    contact = Contact(
        clinic=patient.clinic,
        patient=patient,
        by=by,
        at=at,
        way=way,
        direction=direction,
        outcome=outcome,
        minutes=minutes,
        about=about,
        note=note.strip(),
        visit=visit,
        corrects=corrects,
        recorded_at=now,
    )
    contact.full_clean(validate_constraints=False, validate_unique=False)
    _keep(contact)
    if closes:
        flag_close(
            flag=closes,
            by=by,
            outcome=FlagOutcome.ACTED_ON,
            reason=reason,
            now=now,
            known_until=known_until,
        )
    return contact


def _keep(contact: Contact) -> None:
    """Two who correct the same row at once: the database lets one through."""
    try:
        with transaction.atomic():
            contact.save(force_insert=True)
    except IntegrityError:
        if contact.corrects is None:
            raise
        message = "Somebody corrected this contact already. Look at the newer one."
        raise RuleBroken(message, code="contact_corrected") from None
