"""The contact log as the desk shows it, and who waits for a call."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Exists, OuterRef, QuerySet

from clinician.models import Contact, ContactAbout, ContactOutcome
from clinician.selectors.words import ago, moment_long, plural
from homeprogram.models import Clinic, Flag, FlagState, Patient

SHOWN = 5  # newest of the log; the rest is one click away


def contacts_standing(*, patients: Collection[Patient | UUID]) -> QuerySet[Contact]:
    """A corrected one gave way to its correction."""
    return Contact.objects.filter(patient__in=patients, corrected_by=None)


def contact_of_clinic(*, clinic: Clinic, contact_id: UUID) -> Contact | None:
    """One that still stands and is no visit's: a visit is corrected as a visit."""
    contacts = Contact.objects.filter(clinic=clinic, corrected_by=None, visit=None)
    return contacts.filter(id=contact_id).select_related("patient", "patient__clinic").first()


def call_backs_of(contacts: Collection[Contact]) -> list[Contact]:
    """Of standing contacts, those that ask for a call and were not followed by one that was had."""
    had = [one.at for one in contacts if one.outcome == ContactOutcome.DONE]
    latest = max(had, default=None)
    asked = (one for one in contacts if one.outcome == ContactOutcome.CALL_BACK)
    return [one for one in asked if latest is None or one.at >= latest]


def calls_owed(*, patients: Collection[Patient | UUID]) -> QuerySet[Contact]:
    """The same of many patients, asked of the database."""
    standing = contacts_standing(patients=patients)
    had = standing.filter(
        patient=OuterRef("patient"), outcome=ContactOutcome.DONE, at__gt=OuterRef("at")
    )
    return standing.filter(outcome=ContactOutcome.CALL_BACK).exclude(Exists(had))


def owed_in_short(about: str, at: datetime, now: datetime) -> str:
    return f"{ago(at, now)}, {ContactAbout(about).label.lower()}"


def call_back_wanted(*, patient: Patient) -> Flag | None:
    """The open card that a contact may answer."""
    flags = Flag.objects.filter(patient=patient, reason="contact_wanted", state=FlagState.OPEN)
    return flags.order_by("opened_at").first()


@dataclass(frozen=True, slots=True)
class ContactLine:
    id: UUID
    when: str
    how: str
    about: str
    who: str
    length: str
    note: str
    call_back: bool  # asked for and still owed
    visit_id: UUID | None
    earlier: list[str]  # what it said before it was corrected


@dataclass(frozen=True, slots=True)
class ContactLog:
    newest: list[ContactLine]
    older: list[ContactLine]
    owed: list[str]

    @property
    def count(self) -> int:
        return len(self.newest) + len(self.older)


def contact_log(contacts: Iterable[Contact], now: datetime, zone: ZoneInfo) -> ContactLog:
    """`contacts` = all of one patient; a corrected one says what it said before."""
    by_id = {row.id: row for row in contacts}
    given_way = {row.corrects_id for row in by_id.values()}
    standing = sorted(
        (row for row in by_id.values() if row.id not in given_way),
        key=lambda row: (row.at, row.recorded_at),
        reverse=True,
    )
    owed = call_backs_of(standing)
    lines = [
        ContactLine(
            id=row.id,
            when=moment_long(row.at, zone),
            how=_how(row),
            about=row.get_about_display().lower(),
            who=row.by.name,
            length=_length(row),
            note=row.note,
            call_back=row in owed,
            visit_id=row.visit_id,
            earlier=_earlier(row, by_id, zone),
        )
        for row in standing
    ]
    since = [owed_in_short(row.about, row.at, now) for row in owed]
    return ContactLog(newest=lines[:SHOWN], older=lines[SHOWN:], owed=since)


def _how(contact: Contact) -> str:
    said = f"{contact.get_way_display()}, {contact.get_direction_display()}".capitalize()
    if contact.outcome == ContactOutcome.DONE:
        return said
    return f"{said}: {contact.get_outcome_display()}"


def _length(contact: Contact) -> str:
    return "not timed" if contact.minutes is None else plural(contact.minutes, "minute")


def _earlier(contact: Contact, by_id: dict, zone: ZoneInfo) -> list[str]:
    """The wordings it took the place of, newest first."""
    lines = []
    while contact := by_id.get(contact.corrects_id):
        lines.append(
            f"Written {moment_long(contact.recorded_at, zone)} by {contact.by.name}: "
            f"{moment_long(contact.at, zone)}, {_how(contact)}, "
            f"about {contact.get_about_display().lower()}, {_length(contact)}. {contact.note}"
        )
    return lines
