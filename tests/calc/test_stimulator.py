import pytest

from homeprogram.calc.stimulator import StimulatorLimits, cannot_deliver

REQUEST = {"waveform": "symmetric_biphasic", "frequency_hz": 50, "intensity_ma": 80}
PORTABLE = StimulatorLimits(
    name="portable low-output",
    waveforms=("symmetric_biphasic",),
    max_intensity=80,
    min_frequency_hz=2,
    max_frequency_hz=100,
    max_phase_duration_us=300,
)


def codes(phase_us=300, limits=PORTABLE, **changes) -> list[str]:
    return [f.code for f in cannot_deliver({**REQUEST, **changes}, phase_us, limits)]


def test_at_its_bounds_it_delivers():
    assert codes() == []


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"waveform": "burst_ac"}, "stimulator_waveform"),
        ({"frequency_hz": 101}, "stimulator_frequency"),
        ({"frequency_hz": 1}, "stimulator_frequency"),
        ({"intensity_ma": 81}, "stimulator_intensity"),
        ({"phase_us": 301}, "stimulator_phase_duration"),
    ],
)
def test_beyond_a_bound_it_cannot(changes, code):
    assert codes(**changes) == [code]


def test_display_levels_say_nothing_about_milliamperes():
    assert codes(limits=StimulatorLimits("levels", unit="level", max_intensity=60)) == []


def test_an_unknown_bound_forbids_nothing():
    assert codes(limits=StimulatorLimits("bare"), phase_us=900) == []


def test_a_phase_out_of_reach_is_priced_in_current_and_called_teaching():
    # 80 mA at 400 us carry 32 uC: at 200 us that takes 160 mA. Weiss, 459 us: x 1.534.
    limits = StimulatorLimits("short", max_phase_duration_us=200)

    (finding,) = cannot_deliver(REQUEST, 400, limits)

    assert finding.level == "cannot_deliver"
    assert "160 mA to carry the same charge" in finding.message
    assert "123 mA to be as far above threshold" in finding.message
    assert "teaching, not a forecast" in finding.message


def test_without_an_intensity_nothing_is_priced():
    limits = StimulatorLimits("short", max_phase_duration_us=200)

    (finding,) = cannot_deliver({**REQUEST, "intensity_ma": None}, 400, limits)

    assert "teaching" not in finding.message
