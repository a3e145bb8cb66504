"""Figures that cannot be, and the slips that explain them."""

import pytest

from homeprogram.calc.dose_check import dose_check
from homeprogram.calc.dose_errors import ImpossibleDose
from tests.support.doses import BASE, BURST, refusal


def test_300_ms_as_printed_is_impossible_and_300_us_was_meant():
    # Windholz et al. 2014, PMC4012222, prints 300 ms at 50 Hz: 15 periods.
    error = refusal(phase_duration_us=300_000, on_s=5, off_s=5)

    assert error.code == "pulse_does_not_fit"
    assert "15 periods" in error.message
    assert error.slips == [
        {"field": "phase_duration_us", "given": 300_000, "likely": 300, "unit": "µs"}
    ]
    assert set(error.fields) == {"phase_duration_us"}


@pytest.mark.parametrize(
    ("changes", "field", "likely"),
    [
        ({"phase_duration_us": 0.3}, "phase_duration_us", 300),
        ({"pulse_duration_us": 0.4}, "pulse_duration_us", 400),
        ({"intensity_ma": 0.05}, "intensity_ma", 50),
        ({"intensity_ma": 50_000}, "intensity_ma", 50),
        ({"bout_min": 1200}, "bout_min", 20),
        ({"on_s": 0.1667}, "on_s", 10),
        ({"off_s": 0.8333}, "off_s", 50),
        ({"ramp_up_s": 2000}, "ramp_up_s", 2),
        ({"electrode_cm2": 9652}, "electrode_cm2", 96.52),
        ({"frequency_hz": 0.05}, "frequency_hz", 50),
        ({**BURST, "carrier_hz": 2.5}, "carrier_hz", 2500),
        ({**BURST, "burst_ms": 10_000}, "burst_ms", 10),
    ],
)
def test_a_slip_of_unit_is_named_with_the_likely_value(changes, field, likely):
    error = refusal(**changes)

    assert [(slip["field"], slip["likely"]) for slip in error.slips] == [(field, likely)]
    assert set(error.fields) == {field}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"waveform": "sawtooth"}, "waveform_unknown"),
        ({"phase_duration_us": None}, "duration_pair"),
        ({"contractions": None}, "length_pair"),
        ({"on_s": 3}, "ramps_longer_than_on"),
        ({"bout_min": 5, "warmup_min": 4.5}, "bout_too_short"),
        ({"frequency_hz": 2500}, "out_of_bounds"),
        ({"frequency_hz": 900, "phase_duration_us": 600}, "pulse_does_not_fit"),
        ({"days_per_week": 8}, "out_of_bounds"),
        ({"on_s": -1}, "out_of_bounds"),
        ({"on_s": float("nan")}, "out_of_bounds"),
        ({"family": "no_such"}, "family_unknown"),
        ({"waveform": "asymmetric_biphasic"}, "second_phase_missing"),
        ({"pulse_duration_us": 100, "interphase_us": 100}, "interphase_too_long"),
        ({"waveform": "burst_ac"}, "burst_incomplete"),
        ({**BURST, "bursts_per_s": 75}, "burst_frequency_differs"),
        ({**BURST, "phase_duration_us": 300}, "burst_phase_differs"),
        ({**BURST, "burst_ms": 21}, "burst_does_not_fit"),
        (
            {"waveform": "asymmetric_biphasic", "second_phase_ma": 10} | {"pulse_duration_us": 600},
            "pulse_duration_symmetric_only",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_a_stable_code(changes, code):
    error = refusal(**changes)

    assert error.code == code
    assert error.fields


def test_both_of_a_pair_are_refused():
    with pytest.raises(ImpossibleDose) as duration:
        dose_check({**BASE, "pulse_duration_us": 600})
    with pytest.raises(ImpossibleDose) as length:
        dose_check({**BASE, "bout_min": 15})

    assert duration.value.code == "duration_pair"
    assert length.value.code == "length_pair"


@pytest.mark.parametrize("name", ["weeks", "on_s", "electrode_cm2", "intensity_ma"])
def test_a_missing_figure_is_named(name):
    with pytest.raises(ImpossibleDose) as refused:
        dose_check({key: value for key, value in BASE.items() if key != name})

    assert refused.value.code == "field_missing"
    assert set(refused.value.fields) == {name}


def test_every_impossible_field_is_named_at_once():
    error = refusal(intensity_ma=50_000, days_per_week=9)

    assert set(error.fields) == {"intensity_ma", "days_per_week"}
