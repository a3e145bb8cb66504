"""What the clinic measured itself: strength tests, visits, bouts under a clinician's eyes."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from uuid import UUID

from clinician.selectors.fhir.measures import answer, figure, intensities, measure
from clinician.selectors.fhir.programs import STIMULATION
from clinician.selectors.fhir.rows import Rows
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
)
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.guidance import method
from homeprogram.calc.measures import SWELLING
from homeprogram.calc.repeats import Timed, timed
from homeprogram.calc.strength_findings import NAMES
from homeprogram.calc.supervised import untold
from homeprogram.models import StrengthTest, SupervisedBout, Visit
from homeprogram.selectors.visits import supervised

INDICES = (
    ("lsi_pct", "%"),
    ("epic_pct", "%"),
    ("nm_per_kg_involved", "Nm/kg"),
    ("evoked_pct_mvic", "%"),
    ("trial_spread_pct", "%"),
    ("mdc_pct", "%"),
)
ANGLES = ("knee_angle_deg", "flexion_deg", "extension_deg", "extension_lag_deg")
MEASURED = (
    ("knee_pain", "of 10"),
    ("flexion_deg", "°"),
    ("extension_deg", "°"),
    ("lag_deg", "°"),
    ("girth_cm", "cm"),
    ("girth_other_cm", "cm"),
    ("girth_at_cm", "cm"),
)


def strength_tests(rows: Rows) -> Iterator[Part]:
    for test in rows.context.tests:
        known = method(test.request.get("method") or "")
        yield resource(
            "Observation",
            test.id,
            status="final",
            code=measure("strength_test", "maximal" if test.maximal else "not maximal"),
            subject=rows.subject,
            effectiveDateTime=day(test.on),
            issued=moment(test.recorded_at),
            performer=[rows.who(test.recorded_by_id)],
            bodySite=rows.limb(test.episode_id),
            method=concept("method", test.request["method"], known.name) if known else None,
            component=[*_indices(test), *_seen(test)],
        )


def _indices(test: StrengthTest) -> Iterator[Part]:
    """As they were computed that day; MVICs in the unit they were measured in."""
    request, result = test.request, test.result
    if not result:
        return
    for name in ("involved_mvic", "uninvolved_mvic"):
        yield from figure(name, result[name], request["unit"])
    for name, unit in INDICES:
        yield from figure(name, result[name], unit)
    other = request["other_limb"]
    yield from answer("other_limb", valueCodeableConcept=concept("other_limb", other, other))
    if of := request.get("evoked_of"):
        yield from answer("evoked_of", valueCodeableConcept=concept("mvic", of, NAMES[of]))


def _seen(test: StrengthTest) -> Iterator[Part]:
    for name in ANGLES:
        yield from figure(name, getattr(test, name), "°")
    if code := test.observed_contraction:
        words = test.get_observed_contraction_display()
        yield from answer(
            "observed_contraction", valueCodeableConcept=concept("contraction", code, words)
        )
    yield from answer("swelling", valueString=text(test.swelling))
    yield from figure("knee_pain", test.knee_pain, "of 10")
    score, which = test.questionnaire_score, test.questionnaire
    yield from figure("questionnaire_score", score, "points", which)


def visits(rows: Rows) -> Iterator[Part]:
    """As they stand; one that took the place of another is "corrected"."""
    logged = _logged(rows)
    for visit in rows.visits_as_they_stand:
        if visit.measures:
            yield _measured(rows, visit)
        if hasattr(visit, "bout"):
            yield from _supervised(rows, visit, visit.bout, logged)


def _logged(rows: Rows) -> dict[tuple[UUID, date], list[Timed]]:
    found = defaultdict(list)
    for said in rows.standing:
        if said.original.kind == "bout":
            key = UUID(said.original.episode_id), said.original.for_date
            found[key].append(timed(said))
    return found


def _observed(rows: Rows, visit: Visit) -> Part:
    return {
        "status": "corrected" if visit.replaces_id else "final",
        "subject": rows.subject,
        "issued": moment(visit.recorded_at),
        "performer": [rows.who(visit.recorded_by_id)],
        "bodySite": rows.limb(visit.episode_id),
    }


def _measured(rows: Rows, visit: Visit) -> Part:
    said = visit.measures
    figures = [figure(name, said.get(name), unit) for name, unit in MEASURED]
    swelling = said.get("swelling")
    return resource(
        "Observation",
        visit.id,
        code=measure("visit", visit.get_kind_display()),
        effectiveDateTime=day(visit.on),
        component=[
            *[one for found in figures for one in found],
            *(
                answer(
                    "swelling",
                    valueCodeableConcept=concept("stroke_test", swelling, SWELLING[swelling]),
                )
                if swelling
                else []
            ),
        ],
        **_observed(rows, visit),
    )


def _supervised(
    rows: Rows, visit: Visit, bout: SupervisedBout, logged: dict[tuple[UUID, date], list[Timed]]
) -> Iterator[Part]:
    """A Procedure of its own only where the patient's log does not tell of the same bout."""
    start = bout.started_at.astimezone(zone_or_utc(rows.patient.zone))
    plain = supervised(bout, rows.patient)
    alone = bool(untold([plain], logged[bout.episode_id, bout.on]))
    based = [ref("ServiceRequest", bout.revision_id)] if bout.revision_id else []
    if alone:
        yield resource(
            "Procedure",
            bout.id,
            basedOn=based,
            status="completed" if plain.complete else "stopped",
            code=STIMULATION,
            subject=rows.subject,
            performedPeriod=lasting(start, bout.minutes),
            recorder=rows.who(visit.recorded_by_id),
            performer=[{"actor": rows.who(visit.recorded_by_id)}],
            bodySite=[rows.limb(bout.episode_id)],
            note=note("Under a clinician's eyes"),
            usedReference=[ref("Device", bout.stimulator_id)],
        )
    seen = concept("contraction", bout.contraction, bout.get_contraction_display())
    yield resource(
        "Observation",
        part_of(bout.id, "figures"),
        basedOn=based,
        partOf=[ref("Procedure", bout.id)] if alone else [],
        code=measure("supervised_bout"),
        effectiveDateTime=day(bout.on),
        device=ref("Device", bout.stimulator_id),
        component=[
            *figure("minutes", bout.minutes, "min"),
            *figure("contractions", bout.contractions, "contractions"),
            *figure("discomfort", bout.discomfort, "of 10"),
            *figure("skin_before", bout.skin_before, "of 4"),
            *figure("skin_after", bout.skin_after, "of 4"),
            *answer("observed_contraction", valueCodeableConcept=seen),
            *intensities(bout.intensity, bout.stimulator.unit),
        ],
        **_observed(rows, visit),
    )
