import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import root

from homeprogram.calc import strength_duration as sd

ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = json.loads((ROOT / "fixtures/calc/published.json").read_text("utf-8"))
CASES = PUBLISHED["strength_duration"]
CURRENT = {"weiss": sd.weiss_ma, "lapicque": sd.lapicque_ma}

rheobases = st.floats(1, 60)
chronaxies = st.floats(80, 1500)
durations = st.floats(50, 2000)


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_threshold_current(case):
    law = sd.StrengthDuration(case["rheobase_ma"], case["chronaxie_us"])

    found = CURRENT[case["law"]](law, phase_us=case["phase_us"])

    assert found == pytest.approx(case["ma"], abs=0.01)


@pytest.mark.parametrize("case", [case for case in CASES if case["uc"]])
def test_threshold_charge(case):
    law = sd.StrengthDuration(case["rheobase_ma"], case["chronaxie_us"])

    found = sd.weiss_charge_uc(law, phase_us=case["phase_us"])

    assert found == pytest.approx(case["uc"], abs=0.01)


def test_time_constant_of_the_exponential_law():
    assert sd.lapicque_tau_us(459) == pytest.approx(662, abs=0.5)


def test_two_points_give_the_law_back():
    law = sd.fit_two_points(short_us=200, short_ma=32.95, long_us=400, long_ma=21.475)

    assert law.rheobase_ma == pytest.approx(10.00, abs=0.01)
    assert law.chronaxie_us == pytest.approx(459, abs=1)


def test_doubling_a_short_phase_lowers_the_threshold_by_a_third():
    # Motor chronaxie of Mogyoros, Kiernan & Burke 1996: 1.534 from 200 to 400 us.
    assert 1 / sd.equal_threshold_ma(ma=1, from_us=200, to_us=400) == pytest.approx(
        1.534, abs=0.001
    )


@given(rheobases, chronaxies, st.floats(50, 500), st.floats(550, 2000))
def test_the_fit_agrees_with_least_squares(rheobase, chronaxie, short_us, long_us):
    law = sd.StrengthDuration(rheobase, chronaxie)
    us = np.array([short_us, long_us])
    ma = np.array([sd.weiss_ma(law, phase_us=d) for d in us])

    found = sd.fit_two_points(short_us=us[0], short_ma=ma[0], long_us=us[1], long_ma=ma[1])

    slope, intercept = np.polyfit(us, us * ma, 1)
    assert found.rheobase_ma == pytest.approx(slope, rel=1e-6)
    assert found.chronaxie_us == pytest.approx(intercept / slope, rel=1e-6)


def test_the_fit_agrees_with_a_solver_that_knows_only_the_law():
    us, ma = np.array([200.0, 400.0]), np.array([41.0, 29.0])
    rheobase, chronaxie = root(lambda p: p[0] * (1 + p[1] / us) - ma, (10, 300)).x

    found = sd.fit_two_points(short_us=200, short_ma=41, long_us=400, long_ma=29)

    assert found.rheobase_ma == pytest.approx(rheobase, rel=1e-6)
    assert found.chronaxie_us == pytest.approx(chronaxie, rel=1e-6)


@given(rheobases, chronaxies)
def test_at_the_chronaxie_both_laws_ask_for_twice_the_rheobase(rheobase, chronaxie):
    law = sd.StrengthDuration(rheobase, chronaxie)

    assert sd.weiss_ma(law, phase_us=chronaxie) == pytest.approx(2 * rheobase)
    assert sd.lapicque_ma(law, phase_us=chronaxie) == pytest.approx(2 * rheobase)


@given(rheobases, chronaxies, durations, durations)
def test_a_longer_phase_needs_less_current_and_more_charge(rheo, chron, one, other):
    law = sd.StrengthDuration(rheo, chron)
    short, long = sorted((one, other))

    assert sd.weiss_ma(law, phase_us=long) <= sd.weiss_ma(law, phase_us=short)
    assert sd.weiss_charge_uc(law, phase_us=long) >= sd.weiss_charge_uc(law, phase_us=short)


@given(st.floats(1, 200), durations, durations)
def test_equal_charge_goes_there_and_back(ma, one, other):
    there = sd.equal_charge_ma(ma=ma, from_us=one, to_us=other)

    assert there * other == pytest.approx(ma * one)
    assert sd.equal_charge_ma(ma=there, from_us=other, to_us=one) == pytest.approx(ma)


@given(rheobases, chronaxies, durations, durations, st.floats(1, 5))
def test_equal_threshold_keeps_the_multiple_of_threshold(rheo, chron, one, other, times):
    law = sd.StrengthDuration(rheo, chron)
    ma = times * sd.weiss_ma(law, phase_us=one)

    there = sd.equal_threshold_ma(ma=ma, from_us=one, to_us=other, chronaxie_us=chron)

    assert there / sd.weiss_ma(law, phase_us=other) == pytest.approx(times)


@pytest.mark.parametrize(
    "points",
    [
        {"short_us": 400, "short_ma": 20, "long_us": 200, "long_ma": 30},
        {"short_us": 200, "short_ma": 20, "long_us": 400, "long_ma": 20},
        {"short_us": 200, "short_ma": 40, "long_us": 400, "long_ma": 19},
    ],
    ids=["wrong order", "no less current", "less charge"],
)
def test_points_of_another_law_are_refused(points):
    with pytest.raises(ValueError, match=f"{points['short_ma']} mA"):
        sd.fit_two_points(**points)
