"""A FHIR Bundle held against the models of its standard, value sets and references included."""

import json
from collections import Counter
from collections.abc import Iterator
from datetime import datetime

from django.urls import reverse
from fhir.resources.R4B.bundle import Bundle
from fhir.resources.R4B.reference import Reference
from fhir_core.fhirabstractmodel import FHIRAbstractModel

# Where the models say "and more": the rest of the standard's own (required) list.
MORE = {
    "Observation": {"corrected", "cancelled", "entered-in-error", "unknown"},
    "DetectedIssue": {"corrected", "cancelled", "entered-in-error", "unknown"},
    "DeviceUseStatement": {"intended", "stopped", "on-hold"},
}


def record_of(browser, patient) -> dict:
    answer = browser.get(reverse("record-fhir", kwargs={"patient_id": patient.id}))
    assert answer.status_code == 200, answer.content
    return json.loads(answer.content)


def resources(bundle: dict, kind: str = "", code: str = "") -> list[dict]:
    """Those of a kind; `code` = one of the codes of what it is about."""
    found = [one["resource"] for one in bundle["entry"]]
    return [
        one
        for one in found
        if kind in ("", one["resourceType"]) and code in ("", *codes_of(one.get("code", {})))
    ]


def the(bundle: dict, kind: str, code: str = "") -> dict:
    (only,) = resources(bundle, kind, code)
    return only


def kinds(bundle: dict) -> Counter:
    return Counter(one["resourceType"] for one in resources(bundle))


def codes_of(concept: dict) -> list[str]:
    return [coding["code"] for coding in concept.get("coding", ())]


def figures(observation: dict) -> dict[str, tuple[float, str]]:
    """Code of each component with a number -> the number and its UCUM unit."""
    return {
        codes_of(one["code"])[-1]: (one["valueQuantity"]["value"], one["valueQuantity"]["code"])
        for one in observation.get("component", ())
        if "valueQuantity" in one
    }


def displays(part: object) -> Iterator[tuple[tuple[str, str], str]]:
    """Every code with its system, and what it is said to mean."""
    for coding in _with({"system", "code", "display"}, part):
        yield (coding["system"], coding["code"]), coding["display"]


def read(bundle: dict) -> Bundle:
    """Raises where a resource does not fit the models; each is read as its own kind."""
    return Bundle.model_validate_json(json.dumps(bundle))


def written_again(bundle: Bundle) -> dict:
    return json.loads(bundle.model_dump_json())


def quantities(bundle: dict) -> list[dict]:
    return list(_with({"value", "unit"}, bundle))


def periods(bundle: dict) -> list[dict]:
    return list(_with({"start", "end"}, bundle))


def _with(keys: set[str], part: object) -> Iterator[dict]:
    if isinstance(part, dict):
        if keys <= part.keys():
            yield part
        for value in part.values():
            yield from _with(keys, value)
    elif isinstance(part, list):
        for value in part:
            yield from _with(keys, value)


def _strings(part: object) -> Iterator[str]:
    if isinstance(part, str):
        yield part
    elif isinstance(part, dict | list):
        for value in part.values() if isinstance(part, dict) else part:
            yield from _strings(value)


def _fits(text: str) -> bool:
    """Neither empty nor blank at its ends, no control character but tab and line ends."""
    return text == text.strip() != "" and not any(one < " " and one not in "\t\r\n" for one in text)


def _backwards(period: dict) -> bool:
    start, end = (datetime.fromisoformat(period[name]) for name in ("start", "end"))
    return start > end


def faults(bundle: dict) -> list[str]:
    """What the models do not refuse by themselves: unknown codes, references that lead astray."""
    kind_of = {one["fullUrl"]: one["resource"]["resourceType"] for one in bundle["entry"]}
    found = [f"{url} twice" for url, n in _times(bundle).items() if n > 1]
    found += [f"no string of FHIR: {one!r}" for one in _strings(bundle) if not _fits(one)]
    found += [f"ends before it starts: {one}" for one in periods(bundle) if _backwards(one)]
    for entry in read(bundle).entry:
        found += _faults(entry.resource, kind_of, entry.resource.get_resource_type())
    return found


def _times(bundle: dict) -> Counter:
    return Counter(one["fullUrl"] for one in bundle["entry"])


def _faults(part: FHIRAbstractModel, kind_of: dict[str, str], whose: str) -> Iterator[str]:
    for name, field in type(part).model_fields.items():
        value = getattr(part, name)
        rules = field.json_schema_extra or {}
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, Reference) and one.reference:
                yield from _aims_wrong(one, rules, kind_of, f"{whose}.{name}")
            elif isinstance(one, FHIRAbstractModel):
                yield from _faults(one, kind_of, whose)
            elif one is not None and rules.get("enum_values"):
                known = {*rules["enum_values"], *MORE.get(whose, ())}
                if one not in known:
                    yield f"{whose}.{name} = {one}"


def _aims_wrong(part: Reference, rules: dict, kind_of: dict[str, str], where: str) -> Iterator[str]:
    kind = kind_of.get(part.reference)
    allowed = rules.get("enum_reference_types") or ["Resource"]
    if kind is None:
        yield f"{where} leads out of the bundle: {part.reference}"
    elif allowed != ["Resource"] and kind not in allowed:
        yield f"{where} leads to a {kind}"
    elif part.type != kind:
        yield f"{where} calls a {kind} {part.type}"
