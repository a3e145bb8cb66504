"""A frozen body is read whole, or refused; nothing a phone sends raises anything else."""

import json
import math
from datetime import date
from uuid import UUID

import pytest
from hypothesis import given as suppose
from hypothesis import settings
from hypothesis import strategies as st

from homeprogram.calc.entry_body import EntryBody, read_body
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.errors import InvalidEntry
from tests.entries import BOUT
from tests.rules.bodies import ID, LEAST, MOST, OTHER_ID, body, frozen, without
from tests.rules.build import many

NOT_AN_ID = [5, 0, True, [], {}, "", "x", ID.upper(), f"{{{ID}}}", ID.replace("-", ""), ID + " "]
NOT_WHOLE = ["1", None, [], {}, True, False, 1.5, 10**400]
REFUSED = {
    "id": [*NOT_AN_ID, None],
    "phone_id": [*NOT_AN_ID, None],
    "number": [*NOT_WHOLE, 0, -1, 2**31],
    "kind": [None, "", "Bout", "unheard_of", 5, True, [], {}],
    "schema": [*NOT_WHOLE, 0, 2, -1],
    "episode_id": NOT_AN_ID,
    "revision_id": NOT_AN_ID,
    "for_date": [
        None,
        5,
        True,
        [],
        {},
        "",
        "20300304",
        "2030-W10-1",
        "2030-3-4",
        "2030-02-30",
        "2030-03-04T00:00",
        " 2030-03-04",
        "2030-03-0٤",
    ],
    "local_time": [
        None,
        5,
        True,
        [],
        {},
        "",
        "2030-03-04",
        "2030-03-04T20:15",
        "2030-03-04T20:15:60",
        "2030-03-04T20:15:00Z",
        "2030-03-04T20:15:00.5",
        "2030-3-4T20:15:0",
        "2030-03-04 20:15:00",
    ],
    "offset_min": [*NOT_WHOLE, -841, 841],
    "zone": [None, 5, True, [], {}, "", "x" * 65, "Europe/Zürich", "Europe Zurich", "a\nb"],
    "device_ms": [*NOT_WHOLE, -1, 2**53 + 2],
    "clock_changed": [None, 0, 1, "false", "", [], {}],
    "logged_by": [
        None,
        5,
        True,
        [],
        {},
        "patient",
        {"who": "doctor"},
        {"who": "helper"},
        {"who": "helper", "name": ""},
        {"who": "helper", "name": "  "},
        {"who": "helper", "name": 5},
        {"who": "helper", "name": "x" * 61},
        {"who": ["patient"]},
    ],
}


def refusal(raw: str) -> InvalidEntry:
    with pytest.raises(InvalidEntry) as caught:
        read_body(raw)
    return caught.value


@pytest.mark.parametrize("said", [LEAST, MOST], ids=["least", "most"])
@pytest.mark.parametrize("kind", PAYLOADS)
def test_a_valid_body_of_every_kind_is_read(kind, said):
    read = read_body(frozen(kind, said[kind]))

    assert read.kind == kind
    assert read.payload == said[kind]


def test_every_field_is_read_into_its_own_kind():
    read = read_body(frozen(episode_id=OTHER_ID, logged_by={"who": "helper", "name": " Ann "}))

    assert read == EntryBody(
        id=UUID(ID),
        phone_id=UUID(OTHER_ID),
        number=1,
        kind="not_done",
        schema=1,
        episode_id=UUID(OTHER_ID),
        revision_id=None,
        for_date=date(2030, 3, 4),
        local_time="2030-03-04T20:15:00",
        offset_min=-300,
        zone="America/New_York",
        device_ms=1_898_903_700_000,
        clock_changed=False,
        logged_by={"who": "helper", "name": "Ann"},
        payload={"ordinal": 1, "reason": "forgot"},
    )


def test_every_field_is_tried_here():
    assert set(REFUSED) | {"payload"} == set(body())


@pytest.mark.parametrize(
    ("field", "value"), [(field, value) for field, values in REFUSED.items() for value in values]
)
def test_a_bad_value_is_refused_by_the_name_of_its_field(field, value):
    assert refusal(json.dumps(body() | {field: value})).fields.keys() == {field}


@pytest.mark.parametrize("field", body())
def test_an_absent_field_is_refused_by_its_name(field):
    assert refusal(json.dumps(without(body(), field))).fields.keys() == {field}


@pytest.mark.parametrize("field", ["episode_id", "revision_id"])
def test_an_entry_may_name_no_limb_and_no_program_but_says_so(field):
    assert getattr(read_body(frozen(**{field: None})), field) is None


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("number", 2**31 - 1),
        ("offset_min", -720),
        ("offset_min", 840),
        ("zone", "Etc/GMT+12"),
        ("zone", "America/Argentina/ComodRivadavia"),
        ("device_ms", 0),
        ("for_date", "2032-02-29"),
        ("clock_changed", True),
    ],
)
def test_the_edges_are_inside(field, value):
    assert str(getattr(read_body(frozen(**{field: value})), field)) == str(value)


@pytest.mark.parametrize(
    ("field", "value", "code"),
    [("kind", "mood_check", "kind_unknown"), ("schema", 2, "schema_unknown")],
)
def test_what_a_newer_app_sends_is_told_apart_from_nonsense(field, value, code):
    assert refusal(json.dumps(body() | {field: value})).code == code


@pytest.mark.parametrize(
    "raw",
    [
        "",
        " ",
        "null",
        "5",
        "[]",
        '"text"',
        "{",
        "{}x",
        "\ufeff{}",
        frozen()[:-1],
        frozen(number=math.nan),
        frozen(number=math.inf),
        frozen("bout", BOUT | {"minutes": math.nan}),
        frozen("bout", BOUT | {"minutes": -math.inf}),
        frozen("bout").replace('"minutes": 15', '"minutes": 1e999'),
        frozen(number=1).replace('"number": 1', f'"number": {"9" * 5000}'),
        frozen("note_to_clinic", {"text": "a\x00b", "wants_contact": True}),
        frozen("note_to_clinic", {"text": "half \ud83d", "wants_contact": True}),
        frozen("note_to_clinic", {"text": "x", "wants_contact": True, "\udc00": 1}),
        frozen("correction", {"of": ID, "payload": {"a": ["\x00"]}, "reason": "x"}),
        "[" * 16_000,
        '{"a":' * 3_000,
        frozen("correction", {"of": ID, "payload": json.loads("[" * 20 + "]" * 20), "reason": "x"}),
    ],
)
def test_what_is_not_sound_json_is_unreadable(raw):
    assert refusal(raw).code == "entry_unreadable"


def test_an_entry_longer_than_the_limit_in_bytes_is_refused():
    # 6,000 characters, 18,000 bytes.
    raw = json.dumps(body(later="膝" * 6000), ensure_ascii=False)

    assert refusal(raw).code == "entry_too_long"


def test_the_longest_note_fits_however_it_is_written():
    said = {"text": "🦵" * 2000, "wants_contact": True}

    assert read_body(json.dumps(body("note_to_clinic", said), ensure_ascii=False)).payload == said


# --- anything at all -----------------------------------------------------------------

texts = st.text(max_size=6)
numbers = st.integers() | st.floats() | st.sampled_from([10**400, -(10**400), 2**53, 1e308])
values = st.recursive(
    st.none() | st.booleans() | numbers | texts | st.sampled_from([ID, "mA", "same", "2030-03-04"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=5,
)
kinds = st.sampled_from(sorted(PAYLOADS))
paths = st.lists(st.integers(0, 20), min_size=1, max_size=6)
most = settings(many, max_examples=300)


def read_or_refused(raw: str) -> EntryBody | InvalidEntry:
    """Anything else that is raised fails the test that called."""
    try:
        return read_body(raw)
    except InvalidEntry as refused:
        return refused


def put(said: object, path: list[int], value: object) -> object:
    """`said` with the value at the end of a path of positions replaced."""
    if not path or not isinstance(said, dict | list) or not said:
        return value
    items = dict(said) if isinstance(said, dict) else dict(enumerate(said))
    key = list(items)[path[0] % len(items)]
    items[key] = put(items[key], path[1:], value)
    return items if isinstance(said, dict) else list(items.values())


@many
@suppose(st.text(max_size=60) | values.map(json.dumps))
def test_no_text_raises_anything_but_a_refusal(raw):
    assert isinstance(read_or_refused(raw), EntryBody | InvalidEntry)


@most
@suppose(kinds, paths, values)
def test_no_value_anywhere_raises_anything_but_a_refusal(kind, path, value):
    said = body(kind, MOST[kind])
    places = [path, [list(said).index("payload"), *path]]

    outcomes = [read_or_refused(json.dumps(put(said, place, value))) for place in places]

    assert [o for o in outcomes if not isinstance(o, EntryBody | InvalidEntry)] == []


@most
@suppose(kinds, paths, values)
def test_what_is_read_can_be_stored_and_read_again(kind, path, value):
    said = put(body(kind, MOST[kind]), [list(body()).index("payload"), *path], value)
    outcome = read_or_refused(json.dumps(said))
    payload = getattr(outcome, "payload", MOST[kind])

    stored = json.dumps(payload, allow_nan=False, ensure_ascii=False).encode()

    assert PAYLOADS[kind](json.loads(stored)) == payload
