"""The whole log of one patient, some weeks a page, newest first."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from clinician.selectors.entries import DayLines, entry_days
from clinician.selectors.words import day_long
from homeprogram.calc.days import ONE_DAY, local_day, zone_or_utc
from homeprogram.models import Patient
from homeprogram.selectors.log import any_entry_before, entries_for
from homeprogram.selectors.photos import photos_by_entry, photos_of

SPAN = timedelta(days=28)


@dataclass(frozen=True, slots=True)
class EntryPage:
    words: str
    days: list[DayLines]
    earlier: date | None  # the last day of the neighbouring page
    later: date | None


def entry_page(*, patient: Patient, until: date | None, now: datetime) -> EntryPage:
    """`until` = its last day; else today, where the patient is."""
    today = local_day(now, zone_or_utc(patient.zone))
    last = min(until or today, today)
    first = last - SPAN + ONE_DAY
    rows = entries_for(patient=patient, first=first, last=last)
    photos = photos_by_entry(photos_of(patient=patient))
    days = entry_days(rows, zone_or_utc(patient.clinic.zone), photos)
    return EntryPage(
        words=f"{day_long(first)} to {day_long(last)}",
        days=[day for day in days if first <= day.on <= last],
        earlier=first - ONE_DAY if any_entry_before(patient=patient, day=first) else None,
        later=min(last + SPAN, today) if last < today else None,
    )
