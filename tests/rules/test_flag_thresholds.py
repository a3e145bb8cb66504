"""Which thresholds a rule looks at, and what one patient's own may be."""

import ast
from pathlib import Path

import pytest

from homeprogram.calc import flags, limits
from homeprogram.calc.flag_thresholds import (
    LOOKS_AT,
    OF_A_PATIENT,
    effective_rules,
)
from homeprogram.calc.limits import FLAG_BOUNDS, FlagRules

FILES = sorted(Path(limits.__file__).parent.glob("flag_*.py"))


def attributes_of_rules() -> set[str]:
    """Every `rules.something` that the rules' own files read."""
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in FILES]
    return {
        node.attr
        for tree in trees
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and node.value.id == "rules"
    }


def test_every_threshold_has_a_rule_that_looks_at_it():
    listed = {name for names in LOOKS_AT.values() for name in names}

    assert listed | {"window_days"} == set(FLAG_BOUNDS)
    assert listed | {"window_days"} == attributes_of_rules() & set(FLAG_BOUNDS)
    assert set(LOOKS_AT) <= set(flags.REASONS)


def test_one_patient_has_no_threshold_that_the_phone_counts_by():
    assert set(OF_A_PATIENT) == set(FLAG_BOUNDS) - {"pads_uses", "pads_warn", "window_days"}


def test_the_patients_stand_over_the_clinics_over_ours():
    rules = effective_rules({"no_contact_h": 72, "worse_by": 3}, {"worse_by": 4})

    assert (rules.no_contact_h, rules.worse_by, rules.missed_in_a_row) == (72, 4, 2)


def test_thresholds_that_came_to_contradict_each_other_stop_no_push():
    rules = effective_rules({"missed_window": 4}, {"missed_of_last": 6, "missed_in_a_row": 1})

    assert (rules.missed_of_last, rules.missed_window, rules.missed_in_a_row) == (3, 4, 2)


def test_a_contradiction_in_one_rule_leaves_the_patients_skin_watched_as_closely():
    rules = effective_rules({"missed_window": 4}, {"missed_of_last": 6, "skin_any_grade": 1})

    assert rules.skin_any_grade == 1


@pytest.mark.parametrize("edited", [{"skin_any_grade": 4}, {"skin_later_grade": 3}, {"mood": 1}])
def test_skin_is_never_watched_less_closely_than_by_default(edited):
    with pytest.raises(ValueError, match=r".+"):
        FlagRules.of_clinic(edited)


def test_what_cannot_both_hold_is_named():
    rules = FlagRules(missed_of_last=9, under_dose_known_days=9, pads_warn=25)

    assert set(rules.contradictions()) == {"missed_of_last", "under_dose_known_days", "pads_warn"}
    assert FlagRules().contradictions() == {}
