"""What each kind may say; whatever it may not is refused by the name of its field."""

import copy
import math

import pytest

from homeprogram.calc.payloads import PAYLOADS
from homeprogram.errors import InvalidEntry
from tests.entries import FACTS_SAME
from tests.rules.bodies import ID, LEAST, MOST, without

NAN, INFINITE, HUGE = math.nan, math.inf, 10**400
NOT_A_NUMBER = ["5", None, [], {}, True, NAN, INFINITE, -INFINITE, HUGE, -HUGE]
NOT_A_RATING = [*NOT_A_NUMBER, -1, 11, 4.5]
NOT_A_CHOICE = ["", "PAIN", " pain", "unheard_of", 1, True, [], {}, ["pain"], NAN]
NOT_AN_ID = [
    5,
    [],
    {},
    True,
    "",
    ID.upper(),
    ID.replace("-", ""),
    f"{{{ID}}}",
    f"urn:uuid:{ID}",
    ID[:-1],
    f"{ID[:-1]}g",
    f"{ID[:-1]}٣",
]
NOT_A_MINUTE = [
    "",
    "2030-03-04",
    "2030-03-04 08:15",
    "2030-03-04T08:15:00",
    "2030-03-04T08:15Z",
    "2030-03-04T08:15+00:00",
    "2030-3-4T8:15",
    "2030-02-30T08:15",
    "2030-03-04T24:01",
    "2030-03-0٤T08:15",
    "20300304T0815",
    5,
    None,
    [],
    True,
]


def not_text(most: int) -> list:
    return ["", "  \n", "x" * (most + 1), 5, None, [], {}, True]


# kind, field -> what it may not hold
REFUSED = {
    ("bout", "started_at"): NOT_A_MINUTE,
    ("bout", "ended_early"): NOT_A_CHOICE,
    ("bout", "minutes"): [*NOT_A_NUMBER, -0.1, 240.1],
    ("bout", "contractions"): [*NOT_A_NUMBER, -1, 601, 1.5],
    ("bout", "intensity"): ["", None, {}, 5, [5], [None], ["x"], [[]], [{}] * 9],
    ("bout", "exercises"): ["", None, {}, 5, [5], [""], ["x" * 41], ["x"] * 11, [None], [["x"]]],
    ("bout", "discomfort"): NOT_A_RATING,
    ("bout", "knee_pain_before"): NOT_A_RATING,
    ("bout", "knee_pain_after"): NOT_A_RATING,
    ("bout", "note"): ["x" * 1001, 5, 0, [], {}, True, False],
    ("skin_check", "bout_id"): NOT_AN_ID,
    ("skin_check", "moment"): [*NOT_A_CHOICE, None],
    ("skin_check", "pads"): ["", None, {}, 5, [], [5], [None], [[]]],
    ("not_done", "ordinal"): [*NOT_A_NUMBER, 0, 11, 1.5],
    ("not_done", "reason"): [*NOT_A_CHOICE, None],
    ("morning_check", "swelling"): [*NOT_A_CHOICE, None, "lots"],
    ("morning_check", "knee_pain"): NOT_A_RATING,
    ("stop_report", "symptoms"): [
        "chest_pain",
        None,
        {},
        [],
        [5],
        [None],
        ["unheard_of"],
        ["chest_pain", []],
        ["chest_pain"] * 15,
    ],
    ("note_to_clinic", "text"): not_text(2000),
    ("note_to_clinic", "wants_contact"): ["true", "", 1, 0, None, [], {}],
    ("correction", "of"): [*NOT_AN_ID, None],
    ("correction", "payload"): ["", None, [], 5, True],
    ("correction", "reason"): not_text(300),
    ("withdrawal", "of"): [*NOT_AN_ID, None],
    ("withdrawal", "reason"): not_text(300),
}
OPTIONAL = {("bout", "ended_early"), ("bout", "note"), ("skin_check", "bout_id")}


def refusal(kind: str, payload: object) -> InvalidEntry:
    with pytest.raises(InvalidEntry) as caught:
        PAYLOADS[kind](payload)
    return caught.value


def test_every_kind_is_tried_here():
    assert set(LEAST) == set(MOST) == set(PAYLOADS) == {kind for kind, _ in REFUSED}


def test_every_field_is_tried_here():
    fields = {(kind, field) for kind, said in MOST.items() for field in said}

    assert fields == set(REFUSED)


@pytest.mark.parametrize("said", [LEAST, MOST], ids=["least", "most"])
@pytest.mark.parametrize("kind", PAYLOADS)
def test_a_valid_payload_is_read_as_it_was_said(kind, said):
    payload = said[kind]

    assert PAYLOADS[kind](payload) == payload


@pytest.mark.parametrize("kind", PAYLOADS)
def test_reading_leaves_the_payload_alone_and_reads_its_own_reading(kind):
    payload = copy.deepcopy(MOST[kind])

    clean = PAYLOADS[kind](payload)

    assert payload == MOST[kind]
    assert PAYLOADS[kind](clean) == clean


@pytest.mark.parametrize("kind", PAYLOADS)
def test_what_no_reader_knows_is_left_out(kind):
    assert PAYLOADS[kind](LEAST[kind] | {"later": "invention"}) == LEAST[kind]


@pytest.mark.parametrize("payload", [None, [], "", 5, True, 1.5])
@pytest.mark.parametrize("kind", PAYLOADS)
def test_a_payload_that_is_no_object_is_refused(kind, payload):
    assert refusal(kind, payload).fields.keys() == {"payload"}


@pytest.mark.parametrize(
    ("kind", "field", "value"),
    [(kind, field, value) for (kind, field), values in REFUSED.items() for value in values],
)
def test_a_bad_value_is_refused_by_the_name_of_its_field(kind, field, value):
    refused = refusal(kind, MOST[kind] | {field: value})

    assert refused.code == "payload_invalid"
    assert refused.fields.keys() == {field}


@pytest.mark.parametrize(("kind", "field"), sorted(set(REFUSED) - OPTIONAL))
def test_an_absent_field_is_refused_by_its_name(kind, field):
    assert refusal(kind, without(MOST[kind], field)).fields.keys() == {field}


@pytest.mark.parametrize(("kind", "field"), sorted(OPTIONAL))
def test_what_need_not_be_said_may_be_absent(kind, field):
    assert PAYLOADS[kind](without(MOST[kind], field)).get(field) is None


@pytest.mark.parametrize("note", [None, "", " \n"])
def test_an_empty_note_does_not_cost_the_bout(note):
    assert "note" not in PAYLOADS["bout"](MOST["bout"] | {"note": note})


# --- what lies deeper -------------------------------------------------------------

CHANNEL = {"channel": 1, "value": 40, "unit": "mA"}


@pytest.mark.parametrize(
    ("field", "value"),
    [
        *(("channel", value) for value in [*NOT_A_NUMBER, 0, 9, 1.5]),
        *(("value", value) for value in [*NOT_A_NUMBER, -0.1, 200.5]),
        *(("unit", value) for value in ["ma", "", None, 5, [], {}, True]),
    ],
)
def test_a_bad_channel_is_refused_by_the_name_of_its_field(field, value):
    payload = LEAST["bout"] | {"intensity": [CHANNEL, CHANNEL | {"channel": 2, field: value}]}

    assert refusal("bout", payload).fields.keys() == {field}


@pytest.mark.parametrize("field", CHANNEL)
def test_a_channel_says_all_three(field):
    payload = LEAST["bout"] | {"intensity": [without(CHANNEL, field)]}

    assert refusal("bout", payload).fields.keys() == {field}


def test_one_channel_cannot_have_two_intensities():
    payload = LEAST["bout"] | {"intensity": [CHANNEL, CHANNEL | {"value": 80}]}

    assert refusal("bout", payload).fields.keys() == {"channel"}


@pytest.mark.parametrize(("value", "unit"), [(201, "mA"), (1000, "level")])
def test_an_intensity_is_bounded_by_its_unit(value, unit):
    payload = LEAST["bout"] | {"intensity": [{"channel": 1, "value": value, "unit": unit}]}

    assert refusal("bout", payload).fields.keys() == {"value"}


def check(pad: str = "upper_outer", **facts) -> dict:
    return LEAST["skin_check"] | {"pads": [{"pad": pad, "facts": FACTS_SAME | facts}]}


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        *(({"colour": value}, "colour") for value in ["", "red", None, 5, [], True]),
        *(({"colour": "slight", "pattern": v}, "pattern") for v in ["", "odd", None, 5, []]),
        ({"colour": "same", "pattern": "even"}, "pattern"),
        *(
            ({name: value}, name)
            for name in ("raised", "itchy", "sore", "broken")
            for value in [None, 0, 1, "no", "", [], {}]
        ),
    ],
)
def test_a_bad_skin_fact_is_refused_by_its_name(facts, field):
    assert refusal("skin_check", check(**facts)).fields.keys() == {field}


@pytest.mark.parametrize("field", ["colour", "raised", "itchy", "sore", "broken"])
def test_every_skin_fact_must_be_answered(field):
    payload = LEAST["skin_check"] | {
        "pads": [{"pad": "upper_outer", "facts": without(FACTS_SAME, field)}]
    }

    assert refusal("skin_check", payload).fields.keys() == {field}


@pytest.mark.parametrize("pad", ["", "knee", None, 5, [], True])
def test_a_pad_must_be_one_of_the_known(pad):
    assert refusal("skin_check", check(pad)).fields.keys() == {"pad"}


@pytest.mark.parametrize("facts", [None, [], "", 5])
def test_a_pad_without_facts_is_refused(facts):
    payload = LEAST["skin_check"] | {"pads": [{"pad": "upper_outer", "facts": facts}]}

    assert refusal("skin_check", payload).fields.keys() == {"facts"}


def test_a_check_names_each_pad_once():
    twice = LEAST["skin_check"] | {"pads": check()["pads"] * 2}

    assert refusal("skin_check", twice).fields.keys() == {"pads"}


def test_symptoms_told_twice_are_one_and_the_gravest_stands_first():
    told = {"symptoms": ["numb", "chest_pain", "numb"]}

    assert PAYLOADS["stop_report"](told) == {"symptoms": ["chest_pain", "numb"]}


def test_a_whole_number_written_with_a_point_is_that_number():
    clean = PAYLOADS["bout"](LEAST["bout"] | {"contractions": 15.0})

    assert clean["contractions"] == 15
    assert isinstance(clean["contractions"], int)
