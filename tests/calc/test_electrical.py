"""Electrical dose against printed values and against numerical integration.

The reference knows no formula: it samples the current over one period and
integrates the samples.
"""

import json
from math import ceil, floor, sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import simpson

from homeprogram.calc import electrical as el

ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = json.loads((ROOT / "fixtures/calc/published.json").read_text("utf-8"))
CASES = PUBLISHED["electrical"]

amps = st.floats(1, 200)
phases = st.floats(20, 1000)
hertz = st.floats(1, 150)
pads = st.floats(5, 300)
pauses = st.floats(0, 300)
BUILDERS = {
    "monophasic": el.monophasic,
    "symmetric_biphasic": el.symmetric_biphasic,
}


def build(train: dict) -> el.Train:
    figures = {name: value for name, value in train.items() if name != "kind"}
    if train["kind"] == "burst_ac":
        return el.BurstTrain(peak_ma=figures.pop("ma"), **figures)
    return BUILDERS[train["kind"]](**figures)


def quantities(case: dict) -> dict:
    train, cm2 = case["train"], case["electrode_cm2"] or 1
    if train["kind"] == "rms":
        rms, found = train["ma"], {}
    else:
        built = build(train)
        rms = built.rms_ma
        found = {
            "rms_ma": rms,
            "phase_charge_uc": built.phase_charge_uc,
            "net_charge_uc": built.net_charge_uc,
            "mean_rectified_ma": built.mean_rectified_ma,
            "pulse_energy_mj": built.pulse_energy_mj(500),
            "phase_us": getattr(built, "phase_us", None),
        }
    watts = el.mean_power_w(rms, 500)
    return {
        **found,
        "rms_density": el.density(rms, electrode_cm2=cm2),
        "half_contact": el.density(rms, electrode_cm2=cm2, contact=0.5),
        "mean_power_w": watts,
        "power_density": el.density(watts, electrode_cm2=cm2),
    }


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_quantities_are_those_of_the_source(case):
    found = quantities(case)

    # A printed 0.113 is good to its last digit, a printed 8.66 as well.
    tolerance = 0.0005 if max(map(abs, case["expected"].values())) < 0.3 else 0.01
    assert case["expected"] == pytest.approx(
        {name: found[name] for name in case["expected"]}, abs=tolerance
    )


def integrate(samples: list[tuple[np.ndarray, np.ndarray]]) -> dict:
    """Charge, |charge| and squared current of one period, from samples [s, A]."""
    pieces = [(simpson(i, x=t), simpson(np.abs(i), x=t), simpson(i**2, x=t)) for t, i in samples]
    net, total, squares = np.sum(pieces, axis=0)
    return {"net": net, "total": total, "squares": squares}


def sampled_pulse(levels: list[tuple[float, float]]) -> list:
    """(milliamperes, microseconds) one after the other as sampled pieces."""
    pieces, start = [], 0.0
    for ma, us in levels:
        if us > 0:
            t = np.linspace(start, start + us * 1e-6, 101)
            pieces.append((t, np.full_like(t, ma * 1e-3)))
            start += us * 1e-6
    return pieces


def assert_same(train: el.PulseTrain, levels: list[tuple[float, float]]) -> None:
    whole = integrate(sampled_pulse(levels))
    first = integrate(sampled_pulse(levels[:1]))
    period = 1 / train.frequency_hz
    exact = {"rel": 1e-9, "abs": 1e-12}
    assert train.phase_charge_uc == pytest.approx(first["net"] * 1e6, **exact)
    assert train.net_charge_uc == pytest.approx(whole["net"] * 1e6, rel=1e-9, abs=1e-9)
    assert train.mean_rectified_ma == pytest.approx(whole["total"] / period * 1e3, **exact)
    assert train.rms_ma == pytest.approx(sqrt(whole["squares"] / period) * 1e3, **exact)
    assert train.pulse_energy_mj(500) == pytest.approx(whole["squares"] * 500e3, **exact)
    watts = whole["squares"] * 500 / period
    assert el.mean_power_w(train.rms_ma, 500) == pytest.approx(watts, **exact)
    assert train.peak_ma == max(abs(ma) for ma, _ in levels)


@given(amps, phases, hertz)
def test_monophasic_agrees_with_integration(ma, us, hz):
    train = el.monophasic(frequency_hz=hz, ma=ma, phase_us=us)

    assert_same(train, [(ma, us)])


@given(amps, phases, hertz, pauses)
def test_symmetric_biphasic_agrees_with_integration(ma, us, hz, pause):
    train = el.symmetric_biphasic(frequency_hz=hz, ma=ma, phase_us=us, interphase_us=pause)

    assert_same(train, [(ma, us), (0, pause), (-ma, us)])


@given(amps, phases, hertz, pauses, st.floats(20, 3000))
def test_asymmetric_balanced_agrees_with_integration(ma, us, hz, pause, second_us):
    train = el.asymmetric_biphasic(
        frequency_hz=hz, ma=ma, phase_us=us, second_us=second_us, interphase_us=pause
    )

    assert_same(train, [(ma, us), (0, pause), (-train.second.ma, second_us)])
    assert train.net_charge_uc == pytest.approx(0, abs=1e-9)


@given(amps, phases, hertz, st.floats(20, 3000), st.floats(0.5, 200))
def test_asymmetric_unbalanced_agrees_with_integration(ma, us, hz, second_us, second_ma):
    train = el.asymmetric_biphasic(
        frequency_hz=hz, ma=ma, phase_us=us, second_us=second_us, second_ma=second_ma
    )

    assert_same(train, [(ma, us), (-second_ma, second_us)])


@given(amps, phases, st.floats(0.5, 100))
def test_the_second_phase_follows_from_its_current(ma, us, second_ma):
    train = el.asymmetric_biphasic(frequency_hz=50, ma=ma, phase_us=us, second_ma=second_ma)

    assert train.second.us * second_ma == pytest.approx(ma * us)


@settings(max_examples=40)
@given(amps, st.floats(1000, 10_000), st.integers(1, 40), st.floats(5, 100))
def test_burst_agrees_with_integration(ma, carrier, periods, bursts):
    burst_s = periods / carrier
    assume(burst_s * bursts <= 1)
    train = el.BurstTrain(bursts, burst_s * 1e3, carrier, ma)
    t = np.linspace(0, burst_s, 2000 * periods + 1)
    i = ma * 1e-3 * np.sin(2 * np.pi * carrier * t)
    half = t <= 0.5 / carrier * (1 + 1e-9)

    whole = integrate([(t, i)])
    one_way = simpson(i[half], x=t[half])

    assert train.phase_charge_uc == pytest.approx(one_way * 1e6, rel=1e-6)
    assert train.net_charge_uc == pytest.approx(whole["net"] * 1e6, abs=1e-6)
    mean = whole["total"] * bursts * 1e3
    assert train.mean_rectified_ma == pytest.approx(mean, rel=1e-5)
    rms = sqrt(whole["squares"] * bursts) * 1e3
    assert train.rms_ma == pytest.approx(rms, rel=1e-6)
    energy = whole["squares"] * 500e3
    assert train.pulse_energy_mj(500) == pytest.approx(energy, rel=1e-6)


@settings(max_examples=40)
@given(amps, st.floats(100, 800), st.floats(20, 120), st.floats(0, 200))
def test_pulse_quantities_agree_with_a_plain_uniform_sampling(ma, us, hz, pause):
    """A second reference, blind to where the edges are: 400 000 even samples."""
    period_us = 1e6 / hz
    assume(2 * us + pause < period_us)
    t = (np.arange(400_000) + 0.5) / 400_000 * period_us
    back = (t >= us + pause) & (t < 2 * us + pause)
    i = np.where(t < us, ma, np.where(back, -ma, 0.0))

    train = el.symmetric_biphasic(frequency_hz=hz, ma=ma, phase_us=us, interphase_us=pause)

    assert train.rms_ma == pytest.approx(np.sqrt(np.mean(i**2)), rel=2e-3)
    assert train.mean_rectified_ma == pytest.approx(np.mean(np.abs(i)), rel=2e-3)


@given(amps, pads)
def test_half_contact_doubles_density(ma, cm2):
    full = el.density(ma, electrode_cm2=cm2)

    assert el.density(ma, electrode_cm2=cm2, contact=0.5) == pytest.approx(2 * full)


@given(amps, phases, hertz)
def test_reading_a_phase_as_a_pulse_loses_the_root_of_two(ma, us, hz):
    phase = el.symmetric_biphasic(frequency_hz=hz, ma=ma, phase_us=us)
    whole = el.symmetric_biphasic(frequency_hz=hz, ma=ma, phase_us=el.phase_from_pulse_us(us))

    assert phase.rms_ma / whole.rms_ma == pytest.approx(1.41421356)


@given(phases, pauses)
def test_phase_and_pulse_go_back_and_forth(us, pause):
    train = el.symmetric_biphasic(frequency_hz=1, ma=1, phase_us=us, interphase_us=pause)

    assert el.phase_from_pulse_us(train.pulse_us, pause) == pytest.approx(us)


@given(amps, amps, phases, hertz)
def test_more_current_never_lowers_the_dose(one, other, us, hz):
    low, high = sorted((one, other))
    less = el.symmetric_biphasic(frequency_hz=hz, ma=low, phase_us=us)
    more = el.symmetric_biphasic(frequency_hz=hz, ma=high, phase_us=us)

    assert less.rms_ma <= more.rms_ma
    assert less.phase_charge_uc <= more.phase_charge_uc
    assert less.pulse_energy_mj() <= more.pulse_energy_mj()


@given(amps, phases, hertz)
def test_mean_stays_below_rms_and_rms_below_peak(ma, us, hz):
    train = el.symmetric_biphasic(frequency_hz=hz, ma=ma, phase_us=us)
    assume(train.occupied < 1)

    assert train.mean_rectified_ma <= train.rms_ma * (1 + 1e-9)
    assert train.rms_ma <= ma


def test_300_ms_at_50_hz_fill_fifteen_periods():
    train = el.monophasic(frequency_hz=50, ma=50, phase_us=300_000)

    assert floor(train.occupied) == ceil(train.occupied) == 15
