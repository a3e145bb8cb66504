"""What is measured at a visit. The ranges are common practice, no source."""

import pytest

from homeprogram.calc.measures import FIGURES, checked
from homeprogram.errors import RuleBroken


def test_what_was_left_out_is_not_kept():
    assert checked({"lag_deg": 0, "knee_pain": None, "swelling": ""}) == {"lag_deg": 0}


def test_a_place_where_no_girth_was_taken_is_not_kept():
    assert checked({"girth_at_cm": 10, "lag_deg": 5}) == {"lag_deg": 5}


@pytest.mark.parametrize("one", FIGURES, ids=lambda one: one.code)
def test_the_ends_of_a_range_are_in_it_and_beyond_is_a_slip(one):
    with_girth = {"girth_cm": 50, "girth_at_cm": 10} if "girth" in one.code else {}

    for value in (one.low, one.high):
        assert checked(with_girth | {one.code: value})[one.code] == value
    for value in (one.low - 0.5, one.high + 0.5):
        with pytest.raises(RuleBroken) as refusal:
            checked(with_girth | {one.code: value})
        assert refusal.value.fields.keys() == {one.code}


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"girth_cm": 48.5}, "girth_at_cm"),
        ({"girth_other_cm": 50}, "girth_at_cm"),
        ({"swelling": "much"}, "swelling"),
        ({"mood": 3}, "mood"),
    ],
)
def test_what_nobody_could_measure_again_is_refused(said, field):
    with pytest.raises(RuleBroken) as refusal:
        checked(said)

    assert refusal.value.fields.keys() == {field}
