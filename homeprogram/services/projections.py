"""Entries -> typed rows and day rows. The one function that writes them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

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
from homeprogram.calc.repeats import timed
from homeprogram.calc.supervised import Supervised, with_supervised
from homeprogram.models import Bout, Entry, PadNews, Patient, PatientDay, Revision, SkinCheck
from homeprogram.selectors import log
from homeprogram.selectors.visits import supervised_of
from homeprogram.services.pad_news import pad_news_project

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


@dataclass(frozen=True, slots=True)
class Projected:
    """What was written of some days: their rows, all their facts, and those that stand."""

    days: Sequence[PatientDay] = ()
    facts: Sequence[Entry] = ()
    standing: Sequence[Reading] = ()


def entries_project(
    *,
    patient: Patient,
    stored: Sequence[Entry],
    rows: Sequence[Entry],
    revisions: Iterable[Revision],
    seen: Iterable[Supervised],
) -> Projected:
    """Bring every day in line that these new entries touch.

    `rows` = the new entries, all others of their days, and all amendments.
    """
    days = {entry.for_date for entry in stored if not entry.of}
    ends = {_end(entry, rows) for entry in stored if entry.of}
    roots = [row for row in rows if row.entry_id in ends]
    if absent := ends - {row.entry_id for row in roots}:
        roots += log.entries_named(patient=patient, ids=absent)
    if further := {root.for_date for root in roots} - days:
        # An amendment may reach back to a day of which not all has been read.
        older = log.entries_for_days(patient=patient, days=further)
        rows = list({row.pk: row for row in (*rows, *older)}.values())
    days |= further
    return days_project(patient=patient, days=days, rows=rows, revisions=revisions, seen=seen)


def _end(entry: Entry, rows: Sequence[Entry]) -> UUID:
    """The entry that a chain of amendments ends at, as far as the chain is here."""
    links = {row.entry_id: row.of for row in rows if row.of}
    seen, target = {entry.entry_id}, entry.of
    while target in links and target not in seen:
        seen.add(target)
        target = links[target]
    return target


def days_project(
    *,
    patient: Patient,
    days: Iterable[date],
    rows: Iterable[Entry],
    revisions: Iterable[Revision],
    seen: Iterable[Supervised],
) -> Projected:
    """Bring the rows of these days in line with the entries. Safe to repeat.

    `rows` holds at least every entry of those days and all the patient's
    amendments, whatever their own day; `seen` at least the supervised bouts of those days.
    """
    days = set(days)
    facts = [row for row in rows if row.for_date in days and not row.of]
    seen = [one for one in seen if one.on in days]
    if not facts and not seen:
        return Projected()
    amendments = [row for row in rows if row.of]
    standing = readings(map(log.logged, [*facts, *amendments]))
    by_id = {str(row.entry_id): row for row in facts}
    doses = {str(revision.id): log.dose_of(revision) for revision in revisions}

    _bouts_write(patient, standing, by_id, doses)
    _skin_checks_write(patient, standing, by_id)
    pad_news_project(patient=patient, facts=facts, standing=standing)
    _withdrawn_remove(facts, standing)
    return Projected(_days_write(patient, facts, standing, doses, seen), facts, standing)


def visit_days_project(*, patient: Patient, episode_id: UUID, days: set[date]) -> None:
    """Days whose supervised bouts changed; one that has nothing any more loses its row."""
    PatientDay.objects.filter(episode_id=episode_id, day__in=days).delete()
    days_project(
        patient=patient,
        days=days,
        rows=log.entries_for_days_and_amendments(patient=patient, days=days),
        revisions=Revision.objects.filter(program__patient=patient),
        seen=supervised_of(patient=patient),
    )


def patient_rebuild(*, patient: Patient) -> None:
    """All of a patient's rows from nothing but the entries."""
    with transaction.atomic():
        Bout.objects.filter(patient=patient).delete()
        SkinCheck.objects.filter(patient=patient).delete()
        PadNews.objects.filter(patient=patient).delete()
        PatientDay.objects.filter(patient=patient).delete()
        rows, seen = log.entries_of_patient(patient=patient), supervised_of(patient=patient)
        days_project(
            patient=patient,
            days=[*(row.for_date for row in rows), *(one.on for one in seen)],
            rows=rows,
            revisions=Revision.objects.filter(program__patient=patient),
            seen=seen,
        )


def _bouts_write(
    patient: Patient, standing: Sequence[Reading], by_id: dict[str, Entry], doses: dict[str, Dose]
) -> None:
    bouts = _bouts(standing)
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
    patient: Patient,
    facts: Sequence[Entry],
    standing: Sequence[Reading],
    doses: dict[str, Dose],
    seen: Sequence[Supervised],
) -> list[PatientDay]:
    # Withdrawn entries have a day too: it then counts nothing.
    grouped: dict[tuple[str, date], list[Reading]] = {
        (str(fact.episode_id), fact.for_date): [] for fact in facts if fact.episode_id
    }
    for reading in standing:
        if reading.original.episode_id:
            grouped[reading.original.episode_id, reading.original.for_date].append(reading)
    watched: dict[tuple[str, date], list[Supervised]] = {}
    for one in seen:
        key = one.timed.episode_id, one.on
        watched.setdefault(key, []).append(one)
        grouped.setdefault(key, [])
    return PatientDay.objects.bulk_create(
        [_day(patient, key, said, doses, watched.get(key, ())) for key, said in grouped.items()],
        update_conflicts=True,
        unique_fields=["episode", "day"],
        update_fields=DAY_FIELDS,
    )


def _day(
    patient: Patient,
    key: tuple[str, date],
    facts: Sequence[Reading],
    doses: dict[str, Dose],
    seen: Sequence[Supervised],
) -> PatientDay:
    counted = day_counts(facts, doses)
    if seen:
        counted = with_supervised(counted, seen, [*map(timed, _bouts(facts))])
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


def _bouts(facts: Iterable[Reading]) -> list[Reading]:
    return [fact for fact in facts if fact.original.kind == "bout"]


def _withdrawn_remove(facts: Sequence[Entry], standing: Sequence[Reading]) -> None:
    kept = {reading.original.id for reading in standing}
    gone = [fact.pk for fact in facts if str(fact.entry_id) not in kept]
    if gone:
        Bout.objects.filter(entry__in=gone).delete()
        SkinCheck.objects.filter(entry__in=gone).delete()
