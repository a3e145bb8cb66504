"""What little of a bad body can still be told; it never raises."""

import json
from datetime import date
from uuid import UUID

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.entry_body import claimed, storable
from tests.rules.bodies import ID, body, frozen
from tests.rules.build import many
from tests.rules.test_read_body import values

NOTHING = {"id": None, "phone_id": None, "number": None, "for_date": None}


def test_a_body_that_cannot_be_used_still_tells_what_it_is_about():
    raw = frozen(kind="not_done", payload={"ordinal": 99})

    assert claimed(raw) == {
        "id": UUID(ID),
        "phone_id": UUID(body()["phone_id"]),
        "number": 1,
        "for_date": date(2030, 3, 4),
    }


@pytest.mark.parametrize("raw", ["", "x", "[]", "null", "{}", "[" * 50_000, '{"number": NaN}'])
def test_what_cannot_be_read_tells_nothing(raw):
    assert claimed(raw) == NOTHING


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("id", "x"),
        ("id", 5),
        ("phone_id", "x"),
        ("number", True),
        ("number", -1),
        ("for_date", "soon"),
        ("for_date", []),
    ],
)
def test_one_bad_field_does_not_hide_the_others(field, value):
    told = claimed(frozen(**{field: value}))

    assert told[field] is None
    assert list(told.values()).count(None) == 1


def test_a_day_in_another_spelling_is_still_a_day():
    # Its day must not be called missed while the entry lies in custody.
    assert claimed(frozen(for_date="20300304"))["for_date"] == date(2030, 3, 4)


@many
@suppose(st.text(max_size=100) | values.map(json.dumps))
def test_no_text_raises(raw):
    assert claimed(raw).keys() == NOTHING.keys()


@many
@suppose(values, values, values)
def test_no_value_raises(id_, number, for_date):
    raw = json.dumps(body(id=id_, number=number, for_date=for_date))

    assert claimed(raw).keys() == NOTHING.keys()


@pytest.mark.parametrize("text", ["a\x00b", "half \ud83d", "\udc00", "\x00"])
def test_what_no_database_text_holds_is_not_storable(text):
    assert not storable(text)


@pytest.mark.parametrize("text", ["", "plain", "🦵", "\x01\x7f\uffff"])
def test_any_other_text_is_storable(text):
    assert storable(text)
