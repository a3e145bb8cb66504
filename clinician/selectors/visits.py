"""A patient's visits as the desk reads them: measures, supervised bout, usage counter."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.models import CounterReading
from clinician.selectors.usage import usage_words
from clinician.selectors.words import day_long, moment_long, number, plural
from homeprogram.calc import measures
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.supervised import Supervised
from homeprogram.models import Patient, SupervisedBout, Visit
from homeprogram.selectors.visits import supervised_of, visits_of_patient

SHOWN = 4
ONCE = "once; an entry of the phone at that time takes its place"
LEVELS = ("start", "floor", "ceiling")


@dataclass(frozen=True, slots=True)
class VisitLine:
    id: UUID
    day: str
    limb: str
    kind: str
    note: str
    who: str
    measures: list[tuple[str, str]]
    bout: list[tuple[str, str]]
    skin_changed: bool
    usage: list[str]
    program_id: UUID | None  # whose next revision may take the bout's figures
    earlier: list[str]


@dataclass(frozen=True, slots=True)
class Visits:
    newest: list[VisitLine]
    older: list[VisitLine]


def patient_visits(*, patient: Patient, seen: Sequence[Supervised] | None = None) -> Visits:
    """Visits as they stand; a corrected one says what it said before.

    `seen` = the supervised bouts, where they are read already.
    """
    zone = zone_or_utc(patient.clinic.zone)
    rows = list(visits_of_patient(patient=patient).select_related("episode__program"))
    by_id = {row.id: row for row in rows}
    replaced = {row.replaces_id for row in rows}
    readings = list(
        CounterReading.objects.filter(patient=patient, visit__replaced_by=None).select_related(
            "stimulator", "profile"
        )
    )
    seen = supervised_of(patient=patient) if seen is None else seen
    usage = usage_words(patient=patient, readings=readings, seen=seen)
    lines = [
        _line(row, zone, usage.get(row.id, []), _earlier(row, by_id, zone))
        for row in rows
        if row.id not in replaced
    ]
    return Visits(lines[:SHOWN], lines[SHOWN:])


def _line(visit: Visit, zone: ZoneInfo, usage: list[str], earlier: list[str]) -> VisitLine:
    bout, program = getattr(visit, "bout", None), getattr(visit.episode, "program", None)
    going_on = bout and program and program.ended_on is None
    return VisitLine(
        id=visit.id,
        day=day_long(visit.on),
        limb=visit.episode.limb.upper(),
        kind=visit.get_kind_display(),
        note=visit.note,
        who=visit.recorded_by.name,
        measures=measure_words(visit.measures),
        bout=_bout_words(bout, zone) if bout else [],
        skin_changed=bool(bout) and bout.skin_after > 0,
        usage=usage,
        program_id=program.id if going_on else None,
        earlier=earlier,
    )


def measure_words(said: dict) -> list[tuple[str, str]]:
    """Each with its unit, in a fixed order."""
    lines = [
        (one.name, f"{number(said[one.code])}{'' if one.unit == '°' else ' '}{one.unit}")
        for one in measures.FIGURES
        if one.code in said
    ]
    if "swelling" in said:
        lines.append(("Swelling, stroke test", measures.SWELLING[said["swelling"]]))
    return lines


def _bout_words(bout: SupervisedBout, zone: ZoneInfo) -> list[tuple[str, str]]:
    unit = bout.stimulator.unit
    began = f"{bout.started_at.astimezone(zone):%H:%M}"
    levels = [
        (
            f"Channel {one['channel']}",
            ", ".join(f"{level} {number(one[level])} {unit}" for level in LEVELS),
        )
        for one in bout.intensity
    ]
    done = f"{plural(bout.contractions, 'contraction')} in {number(bout.minutes)} min from {began}"
    return [
        ("Supervised bout", f"{done}, {bout.stimulator.name}"),
        *levels,
        ("Contraction seen", bout.get_contraction_display().lower()),
        ("Discomfort", f"{bout.discomfort} of 10"),
        ("Skin", f"grade {bout.skin_before} before, grade {bout.skin_after} after, of 4"),
        (
            "Counted",
            "by the phone's entry once it is here"
            if bout.on_phone
            else "here, unless the phone has it",
        ),
    ]


def _earlier(visit: Visit, by_id: dict, zone: ZoneInfo) -> list[str]:
    """The versions it took the place of, newest first."""
    lines = []
    while visit := by_id.get(visit.replaces_id):
        bout = getattr(visit, "bout", None)
        facts: Sequence[tuple[str, str]] = [
            *measure_words(visit.measures),
            *(_bout_words(bout, zone) if bout else []),
        ]
        told = "; ".join(f"{name}: {value}" for name, value in facts)
        lines.append(
            f"Written {moment_long(visit.recorded_at, zone)} by {visit.recorded_by.name}: "
            f"{day_long(visit.on)}, {visit.get_kind_display()}, {visit.episode.limb.upper()} leg. "
            f"{visit.note} {told}".strip()
        )
    return lines


def girth_place(*, patient: Patient) -> dict:
    """Where the girth was measured last, so that the next one is taken there too."""
    visits = visits_of_patient(patient=patient).filter(replaced_by=None)
    for visit in visits[:20]:
        if "girth_at_cm" in visit.measures:
            return {"girth_at_cm": visit.measures["girth_at_cm"]}
    return {}
