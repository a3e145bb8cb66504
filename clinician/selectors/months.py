"""Monthly counts of a clinic's patients, for its own coding. The same rows on screen and in CSV."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID

from django.db.models import Q

from clinician.models import Contact, ContactOutcome
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.month_counts import ContactOn, LoggedOn, MonthCounts, month_counts
from homeprogram.calc.readings import AMENDS
from homeprogram.models import Clinic, Entry, Patient

# Column names in order, as table and CSV carry them.
COLUMNS = (
    ("days_with_data", "Days with data"),
    ("days_made", "Days an entry was made"),
    ("contacts", "Contacts"),
    ("minutes", "Minutes of contact"),
    ("untimed", "Contacts not timed"),
    ("live_days", "Days with live contact"),
    ("tries", "Tries without contact"),
)


@dataclass(frozen=True, slots=True)
class MonthRow:
    patient_id: UUID
    name: str
    counts: MonthCounts

    @property
    def cells(self) -> list[tuple[str, int]]:
        """Each count with the name of its column."""
        return [(name, getattr(self.counts, key)) for key, name in COLUMNS]


def month_rows(*, clinic: Clinic, month: date) -> list[MonthRow]:
    """By name: current patients, and others who have anything in that month."""
    patients = Patient.objects.filter(clinic=clinic).only("id", "name", "zone", "archived_at")
    entries = _entries(clinic, month)
    contacts = _contacts(clinic, month)
    rows = []
    for patient in sorted(patients, key=lambda one: (one.name.casefold(), one.id)):
        zone = zone_or_utc(patient.zone)
        mine = [
            ContactOn(local_day(at, zone), way, outcome == ContactOutcome.DONE, minutes)
            for at, way, outcome, minutes in contacts[patient.id]
        ]
        counts = month_counts(entries[patient.id], mine, month)
        if patient.archived_at is None or counts != MonthCounts():
            rows.append(MonthRow(patient.id, patient.name, counts))
    return rows


def _entries(clinic: Clinic, month: date) -> dict[UUID, list[LoggedOn]]:
    """Facts that stand: withdrawn ones, and what only amends another, are none."""
    first, last = _span(month)
    day = month.isoformat()[:8]  # 2030-03-
    facts = Entry.objects.filter(
        Q(for_date__range=(first, last)) | Q(local_time__startswith=day), clinic=clinic
    ).exclude(kind__in=AMENDS)
    gone = _withdrawn(clinic)
    found: dict[UUID, list[LoggedOn]] = defaultdict(list)
    for patient_id, entry_id, about, made in facts.values_list(
        "patient_id", "entry_id", "for_date", "local_time"
    ):
        if (patient_id, entry_id) not in gone:
            found[patient_id].append(LoggedOn(about, date.fromisoformat(made[:10])))
    return found


def _withdrawn(clinic: Clinic) -> set[tuple[UUID, UUID]]:
    """Patient and id of every entry that a withdrawal ends at, through its corrections."""
    amendments = Entry.objects.filter(clinic=clinic, kind__in=AMENDS)
    links: dict[tuple[UUID, UUID], UUID] = {}
    withdrawals = []
    for patient_id, entry_id, of, kind in amendments.values_list(
        "patient_id", "entry_id", "of", "kind"
    ):
        links[patient_id, entry_id] = of
        if kind == "withdrawal":
            withdrawals.append((patient_id, of))
    return {_root(patient_id, of, links) for patient_id, of in withdrawals}


def _root(patient_id: UUID, of: UUID, links: dict) -> tuple[UUID, UUID]:
    seen = set()
    while (patient_id, of) in links and of not in seen:
        seen.add(of)
        of = links[patient_id, of]
    return patient_id, of


def _contacts(clinic: Clinic, month: date) -> dict[UUID, list[tuple]]:
    """A day more at both ends: the patient's zone decides which day it was."""
    first, last = (
        datetime.combine(day + timedelta(days=slack), time(), zone_or_utc(clinic.zone))
        for day, slack in zip(_span(month), (-1, 2), strict=True)
    )
    rows = Contact.objects.filter(clinic=clinic, corrected_by=None, at__range=(first, last))
    found: dict[UUID, list[tuple]] = defaultdict(list)
    for patient_id, *told in rows.values_list("patient_id", "at", "way", "outcome", "minutes"):
        found[patient_id].append(tuple(told))
    return found


def _span(month: date) -> tuple[date, date]:
    first = month.replace(day=1)
    return first, (first + timedelta(days=32)).replace(day=1) - timedelta(days=1)


def month_csv(rows: Iterable[MonthRow], month: date) -> list[list]:
    """The table as it is on the screen; a name that a spreadsheet would run is quoted."""
    heads = ["Month", "Patient", *(name for _, name in COLUMNS)]
    told = [[f"{month:%Y-%m}", _quiet(row.name), *(n for _, n in row.cells)] for row in rows]
    return [heads, *told]


def _quiet(name: str) -> str:
    return f"'{name}" if name.startswith(("=", "+", "-", "@", "\t")) else name
