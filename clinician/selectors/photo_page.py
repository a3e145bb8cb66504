"""One photo of the skin as the desk shows it, and what a patient agreed to."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors.facts import says, title
from clinician.selectors.words import day_long, moment_long
from homeprogram.calc.days import is_adult, local_day, zone_or_utc
from homeprogram.models import Patient, PhotoAgreement, SkinPhoto


@dataclass(frozen=True, slots=True)
class PhotoPage:
    id: UUID
    what: str  # the check it was taken with
    limb: str
    day: str
    says: list[str]
    taken: str
    received: str
    gone: str  # why it is not there any more


@dataclass(frozen=True, slots=True)
class PhotoLine:
    """The agreement in force, or that there is none."""

    words: str
    agreement_id: UUID | None


def photo_page(photo: SkinPhoto) -> PhotoPage:
    zone, entry = zone_or_utc(photo.patient.clinic.zone), photo.entry
    return PhotoPage(
        id=photo.id,
        what=title(entry),
        limb=entry.episode.limb.upper() if entry.episode else "",
        day=day_long(entry.for_date),
        says=says(entry.kind, entry.payload),
        taken=moment_long(photo.taken_at, zone),
        received=moment_long(photo.received_at, zone),
        gone=_gone(photo, zone),
    )


def photo_line(
    agreements: Iterable[PhotoAgreement], zone: ZoneInfo, *, on: bool
) -> PhotoLine | None:
    """Nothing at all where the clinic takes no photos and nobody agreed."""
    agreement = next(iter(agreements), None)
    if agreement is None:
        return PhotoLine("Photos of the skin: not agreed.", None) if on else None
    who = f" with guardian {agreement.guardian_name}" if agreement.guardian_name else ""
    off = "" if on else " The clinic takes none at present."
    since = day_long(agreement.recorded_at.astimezone(zone).date())
    return PhotoLine(f"Photos of the skin: agreed{who} since {since}.{off}", agreement.id)


def of_age(*, patient: Patient, now: datetime) -> bool | None:
    """None where no date of birth is on record."""
    if patient.born_on is None:
        return None
    return is_adult(patient.born_on, local_day(now, zone_or_utc(patient.zone)))


def _gone(photo: SkinPhoto, zone: ZoneInfo) -> str:
    if photo.gone_at is None:
        return ""
    who = f" ({photo.gone_by.name}: {photo.gone_reason})" if photo.gone_by else ""
    why = photo.get_gone_why_display().capitalize()
    return f"{why}{who}, {moment_long(photo.gone_at, zone)}."
