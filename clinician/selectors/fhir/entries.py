"""Bouts, not done, and notes of the patient, as the log says now."""

from collections.abc import Callable, Iterator

from clinician.selectors.facts import PAD_NEWS, REASONS, TITLES
from clinician.selectors.fhir.checks import morning_check, skin_check, stop_report
from clinician.selectors.fhir.measures import figure, intensities, measure
from clinician.selectors.fhir.programs import STIMULATION
from clinician.selectors.fhir.rows import KINDS, Rows
from clinician.selectors.fhir.said import Said
from clinician.selectors.fhir.values import (
    Part,
    concept,
    day,
    lasting,
    moment,
    note,
    part_of,
    ref,
    resource,
    text,
    wall_clock,
)
from clinician.selectors.reasons import CHANGES
from homeprogram.calc.readings import bout_complete
from homeprogram.models import Entry


def entries(rows: Rows) -> Iterator[Part]:
    for reading in rows.standing:
        said = Said(rows, reading)
        yield from WRITERS[reading.original.kind](said)
    for entry in rows.withdrawn:
        yield _withdrawn(rows, entry)


def _reason(said: Said, name: str) -> Part | None:
    code = said.payload.get(name)
    return concept("reason", code, REASONS[code]) if code else None


def _bout(said: Said) -> Iterator[Part]:
    """Stopped = fewer than 80 % of its contractions, which the desk calls partly done."""
    payload, revision = said.payload, said.revision
    complete = bout_complete(payload["contractions"], revision.contractions_per_bout)
    start = wall_clock(payload["started_at"], said.entry.offset_min)
    yield resource(
        "Procedure",
        said.key,
        basedOn=[ref("ServiceRequest", revision.id)],
        status="completed" if complete else "stopped",
        statusReason=_reason(said, "ended_early"),
        code=STIMULATION,
        subject=said.rows.subject,
        performedPeriod=lasting(start, payload["minutes"]),
        asserter=said.who,
        bodySite=said.limbs,
        note=note(payload.get("note", ""), time=moment(said.at)),
        usedReference=[ref("Device", revision.stimulator_id)],
    )
    yield resource(
        "Observation",
        part_of(said.key, "figures"),
        basedOn=[ref("ServiceRequest", revision.id)],
        partOf=[ref("Procedure", said.key)],
        code=measure("bout"),
        effectiveDateTime=day(said.entry.for_date),
        component=[
            *figure("minutes", payload["minutes"], "min"),
            *figure("contractions", payload["contractions"], "contractions"),
            *figure("discomfort", payload["discomfort"], "of 10"),
            *figure("knee_pain_before", payload["knee_pain_before"], "of 10"),
            *figure("knee_pain_after", payload["knee_pain_after"], "of 10"),
            *intensities(payload["intensity"], of=("value",)),
            *said.written_down,
        ],
        **said.observed,
    )


def _not_done(said: Said) -> Iterator[Part]:
    revision = said.revision
    yield resource(
        "Procedure",
        said.key,
        basedOn=[ref("ServiceRequest", revision.id)] if revision else [],
        status="not-done",
        statusReason=_reason(said, "reason"),
        code=STIMULATION,
        subject=said.rows.subject,
        performedDateTime=day(said.entry.for_date),
        asserter=said.who,
        bodySite=said.limbs,
        note=note(f"Bout {said.payload['ordinal']} of the day"),
    )


def _note(said: Said) -> Iterator[Part]:
    told = [concept("change", one, CHANGES[one]) for one in said.payload.get("changed", ())]
    if pads := said.payload.get("pads"):
        told.append(concept("pads", pads, PAD_NEWS[pads]))
    if said.payload["wants_contact"]:
        told.append(concept("wish", "contact", "asks to be called"))
    yield resource(
        "Communication",
        said.key,
        status="completed",
        category=[concept("message", "note_to_clinic", TITLES["note_to_clinic"])],
        subject=said.rows.subject,
        recipient=[said.rows.clinic],
        sender=said.who,
        sent=moment(said.at),
        received=moment(said.entry.received_at),
        reasonCode=told,
        payload=[{"contentString": words}] if (words := text(said.payload["text"])) else [],
    )


WRITERS: dict[str, Callable[[Said], Iterator[Part]]] = {
    "bout": _bout,
    "not_done": _not_done,
    "skin_check": skin_check,
    "morning_check": morning_check,
    "stop_report": stop_report,
    "note_to_clinic": _note,
}


def _withdrawn(rows: Rows, entry: Entry) -> Part:
    """That it was told and taken back; what it said is left out."""
    match KINDS[entry.kind]:
        case "Procedure":
            about = {"code": STIMULATION, "performedDateTime": day(entry.for_date)}
        case "Observation":
            about = {"code": measure(entry.kind), "effectiveDateTime": day(entry.for_date)}
        case _:
            about = {"sender": rows.subject, "received": moment(entry.received_at)}
    return resource(
        KINDS[entry.kind],
        rows.key_of(entry),
        status="entered-in-error",
        subject=rows.subject,
        **about,
    )
