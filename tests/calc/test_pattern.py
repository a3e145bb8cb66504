"""The drawn line of a contraction and its rest."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.dose import RampConvention, Timing, cycle_s
from homeprogram.calc.pattern import pattern

SECONDS = st.floats(0, 60, allow_nan=False)


def test_ramps_inside_the_on_time_leave_a_shorter_plateau():
    corners = [(0, 0), (2, 1), (9, 1), (10, 0), (60, 0)]

    assert pattern(Timing(10, 50, 2, 1), cycles=1) == corners


def test_ramps_outside_the_on_time_lengthen_the_cycle():
    timing = Timing(10, 50, 2, 1, RampConvention.OUTSIDE)

    assert pattern(timing, cycles=1) == [(0, 0), (2, 1), (12, 1), (13, 0), (63, 0)]


def test_two_cycles_repeat_the_first():
    assert pattern(Timing(5, 5))[4:8] == [(10, 0), (10, 1), (15, 1), (15, 0)]


def test_ramps_that_do_not_fit_are_not_drawn():
    assert pattern(Timing(4, 10, 3, 3)) == []


@given(SECONDS, SECONDS, st.floats(0, 10), st.floats(0, 10))
@pytest.mark.parametrize("convention", [RampConvention.INSIDE, RampConvention.OUTSIDE])
def test_time_never_runs_back_and_two_cycles_are_two_cycles_long(convention, on_s, off_s, up, down):
    timing = Timing(on_s + up + down, off_s, up, down, convention)

    times = [at for at, _ in pattern(timing)]

    assert all(later >= earlier - 1e-9 for earlier, later in pairwise(times))
    assert times[-1] == pytest.approx(2 * cycle_s(timing))


def test_ramps_that_fill_the_on_time_exactly_are_drawn():
    # 0.6 - 0.4 - 0.2 is a little less than nothing in binary.
    assert len(pattern(Timing(0.6, 10, 0.4, 0.2), cycles=1)) == 5
