"""Entries -> typed rows and day rows. The one function that writes them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from django.db import transaction

from homeprogram.calc import skin
from homeprogram.calc.readings import (
    Dose,
    Reading,
    at_floor,
    bout_complete,
    day_counts,
    over_ceiling,
    readings,
)
from homeprogram.models import Bout, Entry, Patient, PatientDay, Revision, SkinCheck
from homeprogram.selectors import log

BOUT_FIELDS = [
    "episode",
    "revision",
    "for_date",
    "minutes",
    "contractions",
    "complete",
    "discomfort",
    "knee_pain_before",
    "knee_pain_after",
    "intensity",
    "at_floor",
    "over_ceiling",
    "ended_early",
]
SKIN_FIELDS = ["episode", "for_date", "moment", "grade", "itchy", "pads"]
DAY_FIELDS = [
    "bouts_done",
    "bouts_partial",
    "contractions",
    "minutes",
    "at_floor",
    "not_done",
    "excused",
    "last_received_at",
]


def days_project(*, patient: Patient, days: Iterable[date], revisions: Iterable[Revision]) -> None:
    """Bring the rows of these days in line with the entries. Safe to repeat."""
    days = set(days)
    if not days:
        return
    rows = log.entries_for_days(patient=patient, days=days)
    by_id = {str(row.entry_id): row for row in rows}
    standing = [r for r in readings(map(log.logged, rows)) if r.original.for_date in days]
    doses = {str(revision.id): log.dose_of(revision) for revision in revisions}

    _bouts_write(patient, standing, by_id, doses)
    _skin_checks_write(patient, standing, by_id)
    _days_write(patient, standing, doses, days)
    _withdrawn_remove(rows, standing)


def patient_rebuild(*, patient: Patient) -> None:
    """All of a patient's rows from nothing but the entries."""
    with transaction.atomic():
        Bout.objects.filter(patient=patient).delete()
        SkinCheck.objects.filter(patient=patient).delete()
        PatientDay.objects.filter(patient=patient).delete()
        every = Entry.objects.filter(patient=patient).values_list("for_date", flat=True)
        revisions = Revision.objects.filter(program__patient=patient)
        days_project(patient=patient, days=every.distinct(), revisions=revisions)


def _bouts_write(
    patient: Patient, standing: Sequence[Reading], by_id: dict[str, Entry], doses: dict[str, Dose]
) -> None:
    bouts = [r for r in standing if r.original.kind == "bout"]
    Bout.objects.bulk_create(
        (_bout(patient, r, by_id[r.original.id], doses[r.original.revision_id]) for r in bouts),
        update_conflicts=True,
        unique_fields=["entry"],
        update_fields=BOUT_FIELDS,
    )


def _bout(patient: Patient, reading: Reading, entry: Entry, dose: Dose) -> Bout:
    said = reading.payload
    return Bout(
        entry=entry,
        clinic_id=patient.clinic_id,
        patient=patient,
        episode_id=entry.episode_id,
        revision_id=entry.revision_id,
        for_date=entry.for_date,
        minutes=said["minutes"],
        contractions=said["contractions"],
        complete=bout_complete(said["contractions"], dose.contractions),
        discomfort=said["discomfort"],
        knee_pain_before=said["knee_pain_before"],
        knee_pain_after=said["knee_pain_after"],
        intensity=said["intensity"],
        at_floor=at_floor(said["intensity"], dose.floors),
        over_ceiling=over_ceiling(said["intensity"], dose.ceilings),
        ended_early=said["ended_early"] or "",
    )


def _skin_checks_write(
    patient: Patient, standing: Sequence[Reading], by_id: dict[str, Entry]
) -> None:
    checks = [r for r in standing if r.original.kind == "skin_check"]
    SkinCheck.objects.bulk_create(
        (_skin_check(patient, r, by_id[r.original.id]) for r in checks),
        update_conflicts=True,
        unique_fields=["entry"],
        update_fields=SKIN_FIELDS,
    )


def _skin_check(patient: Patient, reading: Reading, entry: Entry) -> SkinCheck:
    said = reading.payload
    return SkinCheck(
        entry=entry,
        clinic_id=patient.clinic_id,
        patient=patient,
        episode_id=entry.episode_id,
        for_date=entry.for_date,
        moment=said["moment"],
        grade=skin.check_grade(said["pads"], said["moment"]),
        itchy=any(pad["facts"]["itchy"] for pad in said["pads"]),
        pads=said["pads"],
    )


def _days_write(
    patient: Patient, standing: Sequence[Reading], doses: dict[str, Dose], days: set[date]
) -> None:
    grouped: dict[tuple[str, date], list[Reading]] = defaultdict(list)
    for reading in standing:
        if reading.original.episode_id:
            grouped[reading.original.episode_id, reading.original.for_date].append(reading)
    stored = PatientDay.objects.filter(patient=patient, day__in=days)
    for key in stored.values_list("episode_id", "day"):
        # A day whose only entry was withdrawn counts nothing again.
        grouped.setdefault((str(key[0]), key[1]), [])
    PatientDay.objects.bulk_create(
        (_day(patient, key, facts, doses) for key, facts in grouped.items()),
        update_conflicts=True,
        unique_fields=["episode", "day"],
        update_fields=DAY_FIELDS,
    )


def _day(
    patient: Patient, key: tuple[str, date], facts: Sequence[Reading], doses: dict[str, Dose]
) -> PatientDay:
    counted = day_counts(facts, doses)
    return PatientDay(
        clinic_id=patient.clinic_id,
        patient=patient,
        episode_id=key[0],
        day=key[1],
        bouts_done=counted.bouts_done,
        bouts_partial=counted.bouts_partial,
        contractions=counted.contractions,
        minutes=counted.minutes,
        at_floor=counted.at_floor,
        not_done=counted.not_done,
        excused=counted.excused,
        last_received_at=max((f.original.received_at for f in facts), default=None),
    )


def _withdrawn_remove(rows: Sequence[Entry], standing: Sequence[Reading]) -> None:
    kept = {reading.original.id for reading in standing}
    amended = {row.of for row in rows if row.of}
    gone = [r.pk for r in rows if r.entry_id in amended and str(r.entry_id) not in kept]
    if gone:
        Bout.objects.filter(entry__in=gone).delete()
        SkinCheck.objects.filter(entry__in=gone).delete()
