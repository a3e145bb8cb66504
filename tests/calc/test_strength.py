import json
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc import strength

ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = json.loads((ROOT / "fixtures/calc/published.json").read_text("utf-8"))
STRENGTH = PUBLISHED["strength"]
PINT = {
    "N": ("newton", "newton"),
    "kgf": ("kilogram_force", "newton"),
    "lbf": ("pound_force", "newton"),
    "Nm": ("newton * meter", "newton * meter"),
    "ftlbf": ("foot * pound_force", "newton * meter"),
}
forces = st.floats(1, 2000)


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize("case", STRENGTH["index"], ids=lambda case: case["id"])
def test_index_of_a_printed_pair(case):
    found = strength.index_pct(case["involved"], case["reference"])

    assert found == pytest.approx(case["expected"], abs=0.05)


@pytest.mark.parametrize("case", STRENGTH["sem_mdc"], ids=lambda case: case["id"])
def test_standard_error_and_detectable_change(case):
    assert strength.mdc_from_sem(case["sem"]) == pytest.approx(case["mdc"], abs=0.05)
    assert strength.sem_from_mdc(case["mdc"]) == pytest.approx(case["sem"], abs=0.05)


@pytest.mark.parametrize("case", STRENGTH["units"], ids=lambda case: case["unit"])
def test_units_of_the_source(case):
    found = strength.to_si(case["value"], case["unit"])

    assert found == pytest.approx(case["expected"], abs=0.05)


@pytest.mark.parametrize("case", STRENGTH["evoked"], ids=lambda case: case["source"])
def test_evoked_fraction(case):
    found = strength.evoked_pct(case["evoked"], mvic_named=case["mvic"])

    assert found == pytest.approx(case["expected"])


@pytest.mark.parametrize("unit", strength.UNITS)
@given(value=forces)
def test_units_agree_with_pint(registry, unit, value):
    name, si = PINT[unit]

    expected = (value * registry(name)).to(si).magnitude

    assert strength.to_si(value, unit) == pytest.approx(expected, rel=1e-9)


def test_encouragement_raised_the_torque_by_16_percent():
    # PMC4738869: 99.5 and 115.6 foot-pounds.
    assert strength.index_pct(115.6, 99.5) == pytest.approx(116.2, abs=0.05)


def test_torque_and_torque_by_mass():
    # Method of Husted et al. 2018: force, lever arm, body mass.
    torque = strength.torque_nm(350, "N", lever_arm_m=0.35)

    assert torque == pytest.approx(122.5)
    assert strength.per_kg(torque, body_mass_kg=70) == pytest.approx(1.75)


def test_225_nm_and_75_kg_are_three_newton_metres_a_kilogram():
    # J Athl Train 2021;56(9):960 calls that strong.
    assert strength.per_kg(225, body_mass_kg=75) == 3.0


def test_a_force_without_a_lever_arm_has_no_torque():
    assert strength.torque_nm(350, "N", lever_arm_m=None) is None


def test_a_torque_needs_no_lever_arm():
    assert strength.torque_nm(100, "Nm", lever_arm_m=None) == 100


def test_best_and_mean_of_trials():
    assert strength.mvic([100, 97, 88]) == 100
    assert strength.mvic([100, 97, 88], rule="mean") == 95
    assert strength.mvic([]) is None


def test_the_best_two_of_three_lie_3_percent_apart():
    # Rule of Karatzanos et al. 2012: within 5 %, take the larger.
    assert strength.trial_spread_pct([100, 97, 88]) == pytest.approx(3.0)
    assert strength.trial_spread_pct([100]) is None


def test_central_activation_ratio():
    # Definition, recalled: 150 and 8 more on top.
    assert strength.central_activation_ratio(150, burst_adds=8) == pytest.approx(0.949, abs=0.001)


def test_standard_error_from_reliability():
    # SEM = SD sqrt(1 - ICC): with ICC 0.96 a fifth of the spread.
    assert strength.sem_from_icc(sd=50, icc=0.96) == pytest.approx(10)


def test_a_change_below_the_detectable_is_within_error():
    # Lee et al. 2020: 24.1 % for one tester with a hand-held dynamometer.
    assert strength.within_error(18, mdc_pct=24.1)
    assert strength.within_error(-24.1, mdc_pct=24.1)
    assert not strength.within_error(25, mdc_pct=24.1)


def test_borderline_is_near_the_threshold_on_either_side():
    assert strength.borderline(79, threshold=80, error_pct=8.6)
    assert strength.borderline(86, threshold=80, error_pct=8.6)
    assert not strength.borderline(95, threshold=80, error_pct=8.6)
    assert not strength.borderline(70, threshold=80, error_pct=8.6)


@given(st.lists(forces, min_size=2, max_size=6))
def test_the_best_is_never_below_the_mean(trials):
    assert strength.mvic(trials) >= strength.mvic(trials, rule="mean") * (1 - 1e-9)


@given(forces, forces, st.sampled_from(list(strength.FORCE_UNITS)))
def test_an_index_does_not_depend_on_the_unit(involved, other, unit):
    converted = strength.index_pct(strength.to_si(involved, unit), strength.to_si(other, unit))

    assert converted == pytest.approx(strength.index_pct(involved, other))
