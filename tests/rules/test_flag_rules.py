"""A clinic's own thresholds over the defaults."""

import math
from dataclasses import asdict

import pytest

from homeprogram.calc.flags import missed_days
from homeprogram.calc.limits import FLAG_BOUNDS, FlagRules
from tests.rules.build import episode, facts

DEFAULTS = {
    "missed_in_a_row": 2,
    "missed_of_last": 3,
    "missed_window": 7,
    "under_dose_share": 0.6,
    "under_dose_days": 7,
    "under_dose_known_days": 3,
    "no_contact_h": 48,
    "pain_reports": 3,
    "pain_window_days": 14,
    "skin_later_grade": 2,
    "skin_any_grade": 3,
    "itch_in_a_row": 2,
    "pads_uses": 25,
    "pads_warn": 5,
    "worse_by": 2,
    "worse_bouts": 2,
    "worse_days": 7,
    "pain_any": 7,
    "over_use_bouts": 2,
    "over_ceiling_bouts": 1,
    "limit_bouts": 3,
    "review_bouts": 6,
    "review_discomfort": 3,
    "review_pain": 3,
    "effective_pct": 50,
    "effective_days": 28,
    "below_bouts": 3,
    "test_after_days": 28,
    "window_days": 28,
}


def test_the_defaults_are_those_of_the_design():
    assert asdict(FlagRules.of_clinic({})) == DEFAULTS


def test_every_threshold_has_bounds_that_hold_its_default():
    assert FLAG_BOUNDS.keys() == DEFAULTS.keys()
    assert FlagRules.of_clinic(DEFAULTS) == FlagRules()


def test_an_edited_threshold_leaves_the_others_alone():
    rules = FlagRules.of_clinic({"missed_in_a_row": 3})

    assert asdict(rules) == DEFAULTS | {"missed_in_a_row": 3}


@pytest.mark.parametrize("name", ["missed", "", "SAFETY"])
def test_an_unknown_threshold_is_refused_by_name(name):
    with pytest.raises(ValueError, match=f"No such flag threshold: {name}"):
        FlagRules.of_clinic({name: 1})


@pytest.mark.parametrize("value", [0, -1, 10**6, 1.5, True, "2", None, [], math.nan, math.inf])
@pytest.mark.parametrize("name", sorted(DEFAULTS.keys() - {"under_dose_share"}))
def test_a_threshold_that_makes_no_sense_is_refused_by_name(name, value):
    with pytest.raises(ValueError, match=name):
        FlagRules.of_clinic({name: value})


@pytest.mark.parametrize("value", [0, -0.1, 1.1, True, "0.6", None, math.nan])
def test_a_share_lies_between_nothing_and_all(value):
    with pytest.raises(ValueError, match="under_dose_share"):
        FlagRules.of_clinic({"under_dose_share": value})


@pytest.mark.parametrize(
    ("name", "looser"), [("skin_later_grade", 3), ("skin_any_grade", 4), ("itch_in_a_row", 3)]
)
def test_skin_may_be_watched_more_closely_and_never_less(name, looser):
    with pytest.raises(ValueError, match=name):
        FlagRules.of_clinic({name: looser})


def test_more_missed_days_than_the_window_holds_are_refused():
    with pytest.raises(ValueError, match="missed_of_last"):
        FlagRules.of_clinic({"missed_of_last": 5, "missed_window": 4})


@pytest.mark.parametrize("name", ["missed_in_a_row", "missed_of_last", "missed_window"])
@pytest.mark.parametrize("edge", [0, 1])
def test_the_rules_run_at_both_ends_of_every_bound(name, edge):
    value = FLAG_BOUNDS[name][edge]
    rules = FlagRules.of_clinic({"missed_of_last": 1, "missed_window": 28} | {name: value})

    assert len(list(missed_days(episode("M" * 28), facts(), rules))) == 1
