import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc import first_dose
from homeprogram.calc.dose_errors import ImpossibleDose
from homeprogram.calc.first_dose import ChannelIntensity

intensities = st.floats(1, 200)


def test_the_first_week_is_short():
    week = first_dose.first_week(contractions_per_bout=15, bouts_per_day=2)

    assert week == first_dose.WeekDose(contractions_per_bout=8, bouts_per_day=1)


@given(st.integers(1, 200), st.integers(1, 6))
def test_the_first_week_is_never_more_nor_nothing(contractions, bouts):
    week = first_dose.first_week(contractions_per_bout=contractions, bouts_per_day=bouts)

    assert 1 <= week.contractions_per_bout <= contractions
    assert week.bouts_per_day == 1


def test_six_days_off_keep_the_current_and_seven_lower_it():
    assert first_dose.remembered_intensity(50, days_off=6) == 50
    assert first_dose.remembered_intensity(50, days_off=7) == 40


@pytest.mark.parametrize("change", ["pads", "pad_placement", "lead", "stimulator"])
def test_a_changed_path_of_the_current_voids_it(change):
    assert first_dose.remembered_intensity(50, days_off=1, changed=[change]) is None


def test_a_changed_exercise_voids_nothing():
    assert first_dose.remembered_intensity(50, days_off=1, changed=["exercise"]) == 50


@given(intensities, st.integers(0, 60), intensities)
def test_the_ceiling_is_never_passed(last, days_off, ceiling):
    found = first_dose.remembered_intensity(last, days_off=days_off, ceiling=ceiling)

    assert found <= min(last, ceiling)


def test_a_channel_in_order_is_accepted():
    first_dose.check_channel(ChannelIntensity(20, 35, 60), stimulator_max=60)


@pytest.mark.parametrize(
    "channel",
    [
        ChannelIntensity(40, 35, 60),
        ChannelIntensity(20, 65, 60),
        ChannelIntensity(0, 35, 60),
    ],
    ids=["start over floor", "floor over ceiling", "zero"],
)
def test_start_floor_and_ceiling_rise(channel):
    with pytest.raises(ImpossibleDose) as refused:
        first_dose.check_channel(channel)

    assert refused.value.code == "intensity_order"


def test_a_ceiling_above_the_stimulator_is_refused():
    with pytest.raises(ImpossibleDose) as refused:
        first_dose.check_channel(ChannelIntensity(20, 35, 90), stimulator_max=60)

    assert refused.value.code == "ceiling_above_stimulator"
    assert "60" in refused.value.message


def test_without_clearance_the_contraction_is_observed():
    measure = first_dose.strength_is_measured_by

    assert measure(mvic_cleared=True, inhibited=False) == "evoked_fraction"
    assert measure(mvic_cleared=False, inhibited=False) == "observed_contraction"
    assert measure(mvic_cleared=True, inhibited=True) == "observed_contraction"
