"""Skin checks, morning checks and stop reports as Observations."""

from collections.abc import Iterator

from clinician.selectors.facts import PADS
from clinician.selectors.fhir.measures import answer, figure, measure
from clinician.selectors.fhir.said import Said
from clinician.selectors.fhir.values import Part, concept, day, part_of, quantity, ref, resource
from clinician.selectors.reasons import MOMENTS, SYMPTOMS
from homeprogram.calc.skin import check_grade, pad_grade
from homeprogram.calc.symptoms import route_of

FACTS = ("raised", "itchy", "sore", "broken")
COLOURS = {"same": "as the skin around it", "slight": "slightly changed", "marked": "marked change"}
ROUTES = {
    "emergency": "emergency",
    "same_day": "same day",
    "surgeon": "surgeon",
    "clinic": "clinic",
}


def skin_check(said: Said) -> Iterator[Part]:
    """The grade is derived, by our own home scale; each pad with the facts behind its own."""
    when, pads = said.payload["moment"], said.payload["pads"]
    yield resource(
        "Observation",
        said.key,
        partOf=_of_bout(said),
        code=measure("skin_check", MOMENTS[when]),
        effectiveDateTime=day(said.entry.for_date),
        valueQuantity=quantity(check_grade(pads, when), "of 4"),
        hasMember=[ref("Observation", part_of(said.key, one["pad"])) for one in pads],
        component=[
            *answer("moment", valueCodeableConcept=concept("moment", when, MOMENTS[when])),
            *said.written_down,
        ],
        **said.observed,
    )
    for one in pads:
        yield _pad(said, one, when)


def _of_bout(said: Said) -> list[Part]:
    """A phone names the bout; one that never came, or is something else, is left out."""
    found = said.rows.entry_ref(said.payload["bout_id"] or "")
    return [found] if found and found["type"] == "Procedure" else []


def _pad(said: Said, one: Part, when: str) -> Part:
    facts = one["facts"]
    colour = concept("colour", facts["colour"], COLOURS[facts["colour"]])
    pattern = facts["pattern"]
    about = said.observed | {"bodySite": concept("pad", one["pad"], PADS[one["pad"]])}
    return resource(
        "Observation",
        part_of(said.key, one["pad"]),
        code=measure("skin_at_pad", MOMENTS[when]),
        effectiveDateTime=day(said.entry.for_date),
        valueQuantity=quantity(pad_grade(facts, when), "of 4"),
        component=[
            *answer("colour", valueCodeableConcept=colour),
            *(
                answer("pattern", valueCodeableConcept=concept("pattern", pattern, pattern))
                if pattern
                else []
            ),
            *[one for name in FACTS for one in answer(name, valueBoolean=facts[name])],
        ],
        **about,
    )


def morning_check(said: Said) -> Iterator[Part]:
    swelling = said.payload["swelling"]
    yield resource(
        "Observation",
        said.key,
        code=measure("morning_check"),
        effectiveDateTime=day(said.entry.for_date),
        component=[
            *answer("swelling", valueCodeableConcept=concept("swelling", swelling, swelling)),
            *figure("knee_pain", said.payload["knee_pain"], "of 10"),
            *said.written_down,
        ],
        **said.observed,
    )


def stop_report(said: Said) -> Iterator[Part]:
    """Its value is who has to hear of it, the most urgent of what was told."""
    symptoms = said.payload["symptoms"]
    route = route_of(symptoms).value
    yield resource(
        "Observation",
        said.key,
        code=measure("stop_report"),
        effectiveDateTime=day(said.entry.for_date),
        valueCodeableConcept=concept("route", route, ROUTES[route]),
        component=[
            *[
                {"code": concept("symptom", one, SYMPTOMS[one]), "valueBoolean": True}
                for one in symptoms
            ],
            *said.written_down,
        ],
        **said.observed,
    )
