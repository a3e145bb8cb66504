import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc import slips

PATIENT_UNITS = [
    ("phase_duration_us", "millisecond", "microsecond", 300),
    ("frequency_hz", "kilohertz", "hertz", 50),
    ("carrier_hz", "kilohertz", "hertz", 2500),
    ("on_s", "minute", "second", 10),
    ("off_s", "minute", "second", 50),
    ("bout_min", "hour", "minute", 20),
    ("bout_min", "second", "minute", 20),
    ("ramp_up_s", "millisecond", "second", 2),
    ("burst_ms", "microsecond", "millisecond", 10),
    ("electrode_cm2", "millimeter**2", "centimeter**2", 96.5),
    ("intensity_ma", "microampere", "milliampere", 50),
    ("lever_arm_m", "centimeter", "meter", 0.35),
    ("lever_arm_m", "millimeter", "meter", 0.35),
    ("body_mass_kg", "gram", "kilogram", 70),
]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("field", "typed", "meant", "value"), PATIENT_UNITS)
def test_the_value_meant_is_found_again(registry, field, typed, meant, value):
    """The number as it stands in the wrong unit, entered into the field."""
    wrong = float(f"{(value * registry(meant)).to(typed).magnitude:.4g}")

    slip, _ = slips.likely_slip(field, wrong)

    assert not slips.in_bounds(field, wrong)
    assert slip.likely == pytest.approx(value, rel=2e-3)
    assert slip.given == wrong


def test_300_ms_become_300_us():
    slip, name = slips.likely_slip("phase_duration_us", 300_000)

    assert (slip.likely, slip.unit) == (300, "µs")
    assert "milliseconds" in name


def test_fifty_microamperes_become_fifty_milliamperes():
    slip, _ = slips.likely_slip("intensity_ma", 0.05)

    assert (slip.likely, slip.unit) == (50, "mA")


def test_a_negative_value_has_no_likely_one():
    sentence, slip = slips.refusal("on_s", -10)

    assert slip is None
    assert "-10 s cannot be" in sentence


def test_eight_days_a_week_are_refused_without_a_guess():
    assert not slips.in_bounds("days_per_week", 8)
    assert slips.likely_slip("days_per_week", 8) is None


@pytest.mark.parametrize("field", sorted(slips.BOUNDS))
def test_the_usual_is_possible(field):
    bounds = slips.BOUNDS[field]

    assert slips.in_bounds(field, bounds.usual_low)
    assert slips.in_bounds(field, bounds.usual_high)


@given(st.sampled_from(sorted(slips.BOUNDS)), st.floats(1e-9, 1e9))
def test_a_likely_value_is_always_usual(field, value):
    found = slips.likely_slip(field, value)
    bounds = slips.BOUNDS[field]

    assert found is None or bounds.usual_low <= found[0].likely <= bounds.usual_high


@pytest.mark.parametrize(
    ("field", "value", "likely"), [("off_s", 1, 60), ("weeks", 84, 12), ("bout_min", 2, 120)]
)
def test_a_value_that_hardly_ever_is_raises_a_doubt(field, value, likely):
    slip, _ = slips.doubt(field, value)

    assert (slip.given, slip.likely) == (value, likely)


@pytest.mark.parametrize(
    ("field", "value"), [("off_s", 50), ("off_s", 0.5), ("phase_duration_us", 2000), ("weeks", 2)]
)
def test_usual_impossible_and_unexplained_values_raise_none(field, value):
    assert slips.doubt(field, value) is None
