"""Counting a dose against what papers print.

Left out of fixtures/calc/published.json, because no function of the product
computes them: 28 hours a week of a trial without on and off times (Avramidis),
the share of a group, sample sizes, effect sizes and correlations of trials.
Adherence, skin and pain have tests of their own.
"""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc import dose

ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = json.loads((ROOT / "fixtures/calc/published.json").read_text("utf-8"))
CASES = PUBLISHED["counting"]
LENGTH = ("count_last_rest", "warmup_min", "recovery_min")
SCHEDULE = ("bouts_per_day", "days_per_week", "weeks")

seconds = st.floats(1, 120)
minutes = st.floats(1, 120)
conventions = st.sampled_from(dose.RampConvention)
timings = st.builds(
    dose.Timing,
    on_s=st.floats(4, 20),
    off_s=st.floats(0, 120),
    ramp_up_s=st.floats(0, 2),
    ramp_down_s=st.floats(0, 2),
    convention=conventions,
)


def counted(case: dict) -> dict:
    given = case["given"]
    timing = dose.Timing(
        **{**case["timing"], "convention": dose.RampConvention(case["timing"]["convention"])}
    )
    length = {name: given[name] for name in LENGTH if name in given}
    contractions = given.get("contractions") or dose.contractions_in(
        timing, bout_min=given["bout_min"], **length
    )
    schedule = {name: given.get(name, 1) for name in SCHEDULE}
    volume = dose.volume(contractions=contractions, **schedule)
    return {
        "contractions": contractions,
        "cycle_s": dose.cycle_s(timing),
        "bout_min": dose.bout_minutes(timing, contractions=contractions, **length),
        "stimulated_min": dose.stimulated_min(timing, contractions=contractions),
        "duty_cycle_pct": dose.duty_cycle_pct(timing),
        "work_to_rest": dose.work_to_rest(timing),
        "per_day": volume.per_day,
        "per_week": volume.per_week,
        "per_course": volume.per_course,
    }


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_counts_are_those_of_the_source(case):
    found = counted(case)

    assert case["expected"] == pytest.approx(
        {name: found[name] for name in case["expected"]}, abs=0.01
    )


def test_counts_are_whole_numbers_exactly():
    case = next(case for case in CASES if case["id"] == "feil garment")

    assert counted(case)["per_course"] == 14400


def test_a_cycle_that_just_fits_is_not_lost_to_binary_fractions():
    timing = dose.Timing(on_s=0.7, off_s=0.1)

    assert dose.contractions_in(timing, bout_min=0.04) == 3


def test_ten_seconds_at_50_hz_are_500_pulses():
    assert dose.pulses_per_contraction(dose.Timing(10, 50), frequency_hz=50) == 500


def test_the_off_time_can_hold_as_many_voluntary_contractions():
    assert dose.voluntary_contractions(60, in_off_time=True) == 60
    assert dose.voluntary_contractions(60, in_off_time=False) == 0


@pytest.mark.parametrize(
    ("convention", "cycle", "plateau", "stimulated"),
    [("inside", 40, 5, 10), ("outside", 45, 10, 15), ("up_inside", 40, 8, 13)],
)
def test_three_conventions_share_out_the_ramps(convention, cycle, plateau, stimulated):
    timing = dose.Timing(10, 30, 2, 3, dose.RampConvention(convention))

    assert dose.cycle_s(timing) == cycle
    assert dose.plateau_s(timing) == plateau
    assert dose.stimulated_s(timing) == stimulated


def test_a_bout_shorter_than_its_warm_up_holds_nothing():
    timing = dose.Timing(10, 50)

    assert dose.contractions_in(timing, bout_min=3, warmup_min=5) == 0


@given(timings, minutes, st.floats(0, 60), st.booleans())
def test_longer_rest_never_raises_contractions(timing, bout_min, longer, last):
    rested = dose.Timing(
        timing.on_s,
        timing.off_s + longer,
        timing.ramp_up_s,
        timing.ramp_down_s,
        timing.convention,
    )

    before = dose.contractions_in(timing, bout_min=bout_min, count_last_rest=last)
    after = dose.contractions_in(rested, bout_min=bout_min, count_last_rest=last)

    assert after <= before


@given(timings, st.integers(1, 200), st.booleans(), st.floats(0, 10))
def test_minutes_of_contractions_hold_those_contractions(timing, count, last, warmup):
    options = {"count_last_rest": last, "warmup_min": warmup, "recovery_min": 1.0}
    minutes_needed = dose.bout_minutes(timing, contractions=count, **options)

    assert dose.contractions_in(timing, bout_min=minutes_needed, **options) == count


@given(timings, minutes)
def test_contractions_of_minutes_end_within_them(timing, bout_min):
    count = dose.contractions_in(timing, bout_min=bout_min)

    assert dose.bout_minutes(timing, contractions=count) <= bout_min + 1e-6
    assert dose.bout_minutes(timing, contractions=count + 1) > bout_min - 1e-6


@given(timings)
def test_current_flows_at_least_for_the_plateau(timing):
    assert 0 <= dose.plateau_s(timing) <= dose.stimulated_s(timing)


@given(seconds, st.floats(0, 120))
def test_ratio_and_percentage_say_the_same(on_s, off_s):
    timing = dose.Timing(on_s, off_s)

    share = dose.duty_cycle_pct(timing) / 100
    assert share * (1 + dose.work_to_rest(timing)) == pytest.approx(1)


@given(st.integers(1, 300), st.integers(1, 6), st.integers(1, 7), st.integers(1, 30))
def test_a_course_counted_bout_by_bout_is_the_same(count, bouts, days, weeks):
    volume = dose.volume(contractions=count, bouts_per_day=bouts, days_per_week=days, weeks=weeks)

    one_by_one = sum(count for _ in range(weeks) for _ in range(days) for _ in range(bouts))
    assert volume.per_course == one_by_one
