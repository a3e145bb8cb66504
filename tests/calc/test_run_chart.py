"""Run charts against the published rule, SciPy, and series in which nothing changes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from homeprogram.calc.limits import RUN_FALSE_SIGNALS
from homeprogram.calc.run_chart import crossings_limit, run_chart, run_limit

# Longest run and fewest crossings without a sign, by points off the median: the rule
# of Anhoj and Olesen 2014, PLoS ONE 9(11):e113825, worked out by hand.
LIMITS = {
    12: (7, 3),
    14: (7, 4),
    20: (7, 6),
    28: (8, 9),
    42: (8, 15),
    56: (9, 21),
    84: (9, 34),
}
# Longest run as tabled for 10 to 100 points in a critical value table of that rule:
# the last n of each limit.
LAST_N_OF_RUN = {6: 11, 7: 22, 8: 45, 9: 90}
LONG_SERIES = 20_000
SHORT_SERIES = 2_000


@pytest.mark.parametrize(("useful", "limits"), LIMITS.items())
def test_the_limits_are_those_of_the_published_rule(useful, limits):
    assert (run_limit(useful), crossings_limit(useful)) == limits


@pytest.mark.parametrize(("limit", "last"), LAST_N_OF_RUN.items())
def test_the_limit_of_a_run_rises_where_the_table_says(limit, last):
    assert (run_limit(last), run_limit(last + 1)) == (limit, limit + 1)


@pytest.mark.parametrize("useful", range(10, 400, 7))
def test_the_limit_of_crossings_is_scipys_binomial_point(useful):
    assert crossings_limit(useful) == stats.binom.ppf(0.05, useful - 1, 0.5)


def test_a_run_one_longer_than_the_limit_is_a_sign():
    seven = run_chart([1] * 7 + [9, 9, 9, 1, 9, 9, 9, 1, 9, 9, 1, 9, 9])
    eight = run_chart([1] * 8 + [9, 9, 9, 9, 1, 9, 9, 9, 1, 9, 9, 9])

    assert (seven.longest_run, seven.run_limit, seven.long_run) == (7, 7, False)
    assert (eight.longest_run, eight.run_limit, eight.long_run) == (8, 7, True)


def test_a_series_that_moves_once_is_a_sign_by_both():
    found = run_chart([3] * 10 + [6] * 10)

    assert (found.median, found.useful, found.longest_run, found.crossings) == (4.5, 20, 10, 1)
    assert found.long_run
    assert found.few_crossings


def test_a_series_that_swings_every_day_is_none():
    assert not run_chart([3, 6] * 20).signal


def test_points_on_the_median_are_skipped_and_break_no_run():
    found = run_chart([1, 5, 1, 5, 1, 5, 5, 5, 9, 9, 9])

    assert found.median == 5
    assert (found.useful, found.longest_run, found.crossings) == (6, 3, 1)


@given(st.lists(st.integers(0, 10), min_size=1, max_size=11))
def test_fewer_than_twelve_points_are_never_judged(values):
    found = run_chart(values)

    assert not found.judged
    assert not found.signal


def test_a_steady_patient_has_no_points_to_judge():
    found = run_chart([4] * 60)

    assert (found.useful, found.longest_run, found.crossings) == (0, 0, 0)
    assert not found.signal


def test_nothing_is_no_series():
    assert run_chart([]) is None


@given(st.lists(st.integers(0, 10), min_size=12, max_size=80))
def test_turning_the_scale_or_the_time_round_changes_no_judgement(values):
    def told(series):
        found = run_chart(series)
        return found.useful, found.longest_run, found.crossings, found.signal

    assert told(values) == told([10 - value for value in values]) == told(values[::-1])


@pytest.mark.parametrize("points", LIMITS)
def test_chance_alone_shows_a_sign_as_seldom_as_the_page_says(points, long_run, capsys):
    """Independent, continuous, nothing changes: own simulation, seeded."""
    times = LONG_SERIES if long_run else SHORT_SERIES
    series = np.random.default_rng(points).normal(size=(times, points)).tolist()

    rate = 100 * sum(run_chart(one).signal for one in series) / times

    if long_run:
        with capsys.disabled():
            print(f"{points} points, {times} series: {rate:.2f} of 100 show a sign")
    least, most = RUN_FALSE_SIGNALS
    margin = 0.05 if long_run else 3 * 100 * (0.05 * 0.95 / times) ** 0.5
    assert least - margin <= rate <= most + margin
