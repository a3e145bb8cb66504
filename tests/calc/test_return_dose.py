"""The dose after a pause is never above the one before."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeprogram.calc.return_dose import (
    ReturnDose,
    days_off,
    fewer_contractions,
    lower_current,
    usual_return,
)


@pytest.mark.parametrize(("off", "current"), [(1, 100), (6, 100), (7, 80), (60, 80)])
def test_after_seven_days_off_the_current_steps_down(off, current):
    assert usual_return(off) == ReturnDose(100, current)


def test_both_ends_of_a_pause_are_days_off():
    assert days_off(date(2030, 3, 4), date(2030, 3, 10)) == 7


levels = st.lists(st.floats(1, 120), min_size=3, max_size=3).map(sorted)
percents = st.integers(10, 100)


@settings(max_examples=60)
@given(levels, percents)
def test_no_level_rises_and_their_order_stays(found, pct):
    before = dict(zip(("start", "floor", "ceiling"), found, strict=True)) | {"channel": 1}

    after = lower_current([before], ReturnDose(100, pct))[0]

    assert all(after[level] <= before[level] for level in ("start", "floor", "ceiling"))
    assert after["start"] <= after["floor"] <= after["ceiling"]
    assert after["channel"] == 1


@settings(max_examples=60)
@given(st.integers(1, 600), percents)
def test_there_is_at_least_one_contraction_and_never_one_more(count, pct):
    assert 1 <= fewer_contractions(count, ReturnDose(pct, 100)) <= count
