"""The clinic's settings in one place, who changed what, and records past their time."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Exists, Max, OuterRef

from clinician.selectors import thresholds
from clinician.selectors.words import WEEKDAYS, day_long, moment_long, number, plural
from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.limits import SHARES
from homeprogram.models import Clinic, Clinician, Episode, Patient, SettingChange

HISTORY_ROWS = 200
LABELS = {
    "quiet_from": "no reminders from",
    "quiet_until": "no reminders until",
    "duty_from": "hours of duty from",
    "duty_until": "hours of duty until",
    "unseen_h": "a safety flag unseen goes on after [h of duty]",
    "adherence_bar_pct": "adherence as agreed [%]",
    "retention_years": "records kept after discharge [years]",
    "photos": "photos of the skin",
    "photo_days": "photos kept [days]",
    "phone_number": "telephone",
    "hours": "hours",
    "out_of_hours": "out of hours",
    "emergency_number": "emergency number",
    "weekdays": "weekdays",
    "cover": "usual cover",
    "role": "role",
    "lsi_pct": "limb symmetry index [%]",
}


@dataclass(frozen=True, slots=True)
class ChangeLine:
    when: str
    who: str
    about: str
    what: list[str]
    reason: str


@dataclass(frozen=True, slots=True)
class PastRecord:
    patient_id: UUID
    name: str
    ended: str


def history(*, clinic: Clinic) -> list[ChangeLine]:
    """Newest first, at most the newest two hundred; two questions."""
    changes = SettingChange.objects.filter(clinic=clinic).select_related("by", "person", "patient")
    people = {str(one.id): one.name for one in Clinician.objects.filter(clinic=clinic)}
    zone = zone_or_utc(clinic.zone)
    return [change_line(one, people, zone) for one in changes.order_by("-at", "id")[:HISTORY_ROWS]]


def change_line(one: SettingChange, people: Mapping[str, str], zone: ZoneInfo) -> ChangeLine:
    about = one.get_kind_display()
    if one.person:
        about += f" of {one.person.name}" if one.kind == "roster" else f", {one.person.name}"
    if one.patient:
        about += f" of {one.patient.name}"
    return ChangeLine(
        when=moment_long(one.at, zone),
        who=one.by.name,
        about=about,
        what=[_differs(name, one, people) for name in one.after],
        reason=one.reason,
    )


def _differs(name: str, one: SettingChange, people: Mapping[str, str]) -> str:
    label = thresholds.WORDS[name][0] if name in thresholds.WORDS else LABELS.get(name, name)
    before, after = (_value(name, side.get(name), people) for side in (one.before, one.after))
    return f"{label.replace('...', '').replace('_', ' ').strip()}: {before} → {after}"


def _value(name: str, value: object, people: Mapping[str, str]) -> str:
    if value is None:
        return "as usual" if name != "role" else "no access"
    if name == "cover":
        return people.get(str(value), "somebody who left")
    if name == "weekdays":
        return ", ".join(WEEKDAYS[day] for day in value) or "no day"
    if name in SHARES:
        return f"{thresholds.shown(name, value)} %"
    if isinstance(value, bool):
        return "on" if value else "off"
    if isinstance(value, int | float):
        return number(value)
    return f"“{value}”"


def settings_lines(*, clinic: Clinic) -> list[tuple[str, str]]:
    """What the landing page says of each setting."""
    ours = ClinicSettings.of_clinic(clinic.settings)
    return [
        ("No reminders", f"from {ours.quiet_from:%H:%M} to {ours.quiet_until:%H:%M}"),
        ("Hours of duty", f"{ours.duty_from:%H:%M} to {ours.duty_until:%H:%M}"),
        ("Unseen safety flag", f"goes on after {plural(ours.unseen_h, 'hour')} of duty"),
        ("Adherence as agreed", f"from {ours.adherence_bar_pct} % of due bouts"),
        (
            "Photos of the skin",
            f"on, kept {plural(ours.photo_days, 'day')}" if ours.photos else "off",
        ),
        ("Records", f"kept {plural(ours.retention_years, 'year')} after discharge"),
    ]


def past_records(*, clinic: Clinic, now: datetime) -> list[PastRecord]:
    """Patients without an open episode whose last one ended longer ago than records are kept."""
    years = ClinicSettings.of_clinic(clinic.settings).retention_years
    until = years_before(local_day(now, zone_or_utc(clinic.zone)), years)
    going = Episode.objects.filter(patient=OuterRef("pk"), ended_on=None)
    gone = Patient.objects.filter(~Exists(going), clinic=clinic)
    past = gone.annotate(ended=Max("episodes__ended_on")).filter(ended__lte=until)
    return [
        PastRecord(one.id, one.name, day_long(one.ended)) for one in past.order_by("ended", "id")
    ]


def years_before(day: date, years: int) -> date:
    """The same day so many years ago; 29 February becomes the 28th."""
    try:
        return day.replace(year=day.year - years)
    except ValueError:
        return day.replace(year=day.year - years, day=28)
