import copy

import pytest

from homeprogram.calc import dose, guidance
from homeprogram.calc.guidance_schema import FILES, check

CODES = [family.code for family in guidance.families()]


def broken(name: str, *, rows: str, **changes) -> dict:
    document = copy.deepcopy(guidance.load(name))
    document[rows][0].update(changes)
    return document


@pytest.mark.parametrize("name", sorted(FILES))
def test_every_file_is_what_it_should_be(name):
    assert guidance.load(name)["schema"] == 1


def test_the_families_on_offer():
    assert CODES == [
        "acl_reconstruction",
        "knee_osteoarthritis",
        "patellofemoral_pain",
        "tka_home",
        "strengthening_home",
    ]


@pytest.mark.parametrize("code", CODES)
def test_a_family_lies_inside_its_own_ranges(code):
    family = guidance.family(code)

    for limits in family.ranges:
        value = getattr(family, limits.figure, None)
        outside = value is not None and (
            (limits.low is not None and value < limits.low)
            or (limits.high is not None and value > limits.high)
        )
        assert not outside, (limits.figure, value)


@pytest.mark.parametrize("code", CODES)
def test_a_family_can_be_delivered(code):
    family = guidance.family(code)
    timing = dose.Timing(family.on_s, family.off_s, family.ramp_up_s, family.ramp_down_s)

    assert dose.plateau_s(timing) > 3
    assert family.source.text


def test_a_figure_can_be_less_sure_than_its_family():
    family = guidance.family("tka_home")

    assert family.mark_of("frequency_hz") == "read"
    assert family.mark_of("days_per_week") == "memory"


def test_references_are_found_by_code_too():
    assert guidance.family("windholz_2014").kind == "reference"


def test_an_unknown_family_is_a_key_error():
    with pytest.raises(KeyError):
        guidance.family("no_such_family")


def test_a_method_is_found_by_code_alias_and_spelling():
    assert guidance.method("hand_held").mdc_pct == 24.1
    assert guidance.method("Hand-held") is guidance.method("HHD")
    assert guidance.method("a kitchen scale") is None


def test_no_limit_from_memory_blocks():
    recalled = [x for x in guidance.limits().values() if x.mark == "memory"]

    assert recalled
    assert {x.level for x in recalled} == {"notice"}


def test_no_condition_from_memory_forbids():
    recalled = [x for x in guidance.screening_conditions() if x.mark == "memory"]

    assert recalled
    assert all(x.grade != "contraindication" for x in recalled)


def test_an_active_implant_takes_a_specialist():
    implant = next(x for x in guidance.screening_conditions() if x.code == "active_implant")

    assert implant.grade == "contraindication"
    assert implant.override == "specialist_opinion"


def test_a_clinics_own_family_is_read_like_ours():
    row = guidance.load("families.json")["families"][0]

    own = guidance.family_from({**row, "code": "ours", "off_s": 30})

    assert (own.code, own.off_s) == ("ours", 30)


@pytest.mark.parametrize(
    ("document", "message"),
    [
        (broken("limits.json", rows="limits", mark="memory", level="outside"), "inform"),
        (broken("limits.json", rows="limits", mark="hearsay"), "mark"),
        (broken("limits.json", rows="limits", value="2"), "value"),
        (broken("limits.json", rows="limits", value=True), "value"),
        (broken("limits.json", rows="limits", extra=1), "extra"),
        (broken("limits.json", rows="limits", source={"text": "x"}), "doi"),
        (broken("limits.json", rows="limits", code="pulse_energy"), "twice"),
    ],
    ids=["memory", "mark", "text", "bool", "unknown", "missing", "twice"],
)
def test_a_wrong_limit_is_refused(document, message):
    with pytest.raises(ValueError, match=message):
        check("limits.json", document)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"bout_min": 20}, "one length"),
        ({"contractions_per_bout": None}, "one length"),
        ({"frequency_hz": None}, "frequency_hz"),
        ({"marks": {"frequenzy": "read"}}, "frequenzy"),
        ({"marks": {"on_s": "hearsay"}}, "hearsay"),
        ({"waveform": "sawtooth"}, "sawtooth"),
        ({"ranges": "30-50"}, "wrong type"),
        ({"pathways": ["post_operative", 3]}, r"pathways\[1\]"),
    ],
    ids=str,
)
def test_a_wrong_family_is_refused(changes, message):
    document = broken("families.json", rows="families", **changes)

    with pytest.raises(ValueError, match=message):
        check("families.json", document)


def test_a_contraindication_from_memory_is_refused():
    changes = {"mark": "memory", "grade": "contraindication"}
    document = broken("screening.json", rows="conditions", **changes)

    with pytest.raises(ValueError, match="active_implant"):
        check("screening.json", document)
