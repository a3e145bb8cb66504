"""Whatever a release of the patient's app ever wrote is still read."""

import json
from pathlib import Path

import pytest

from homeprogram.calc.entry_body import read_body
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.calc.text_forms import digest
from homeprogram.calc.upcasts import SCHEMA, STEPS, upcast

GOLDEN = Path(__file__).resolve().parents[2] / "fixtures" / "golden"
FILES = {
    schema: json.loads((GOLDEN / f"entries-schema-{schema}.json").read_text("utf-8"))
    for schema in range(1, SCHEMA + 1)
}
BODIES = [
    pytest.param(one, id=f"schema {schema}, {one['kind']} {place}")
    for schema, file in FILES.items()
    for place, one in enumerate(file["entries"], start=1)
]


@pytest.mark.parametrize("golden", BODIES)
def test_a_body_of_any_release_is_read_as_it_was_meant(golden):
    said = json.loads(golden["body"])

    body = read_body(golden["body"])

    assert (str(body.id), body.number, body.kind) == (said["id"], said["number"], golden["kind"])
    assert body.payload.items() >= said["payload"].items()


@pytest.mark.parametrize("golden", BODIES)
def test_the_hash_a_phone_made_is_the_one_the_clinic_makes(golden):
    assert digest(golden["body"]) == golden["sha256"]


@pytest.mark.parametrize("schema", FILES)
def test_every_kind_of_entry_has_its_golden_body(schema):
    assert {one["kind"] for one in FILES[schema]["entries"]} == set(PAYLOADS)


def test_there_is_a_step_from_every_earlier_schema():
    assert set(STEPS) == set(range(1, SCHEMA))


def test_steps_are_taken_one_after_the_other_from_the_schema_of_the_body():
    steps = {n: lambda body, n=n: {"path": [*body["path"], n]} for n in (1, 2, 3)}

    assert upcast({"path": []}, 2, steps=steps, current=4) == {"path": [2, 3]}
    assert upcast({"path": []}, 4, steps=steps, current=4) == {"path": []}


@pytest.mark.parametrize("schema", [0, 5, -1])
def test_a_schema_there_is_no_way_from_is_told(schema):
    with pytest.raises(KeyError):
        upcast({}, schema, steps={1: dict, 2: dict, 3: dict}, current=4)
