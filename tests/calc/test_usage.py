"""The usage counter beside the log. The tolerance is common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.usage import Usage, compared


@pytest.mark.parametrize(
    ("counts", "before", "reading", "logged", "word"),
    [
        ("hours", 10, 20, 10, Usage.SAME),
        ("hours", 0, 1, 0.5, Usage.SAME),  # half an hour is rounding
        ("hours", 0, 1.2, 0.5, Usage.COUNTER_MORE),
        ("hours", 0, 20, 18, Usage.SAME),  # a tenth
        ("hours", 0, 20, 17.9, Usage.COUNTER_MORE),
        ("hours", 5, 5, 3, Usage.LOG_MORE),
        ("bouts", 100, 112, 11, Usage.SAME),
        ("bouts", 100, 112, 10, Usage.COUNTER_MORE),
        ("bouts", 100, 99, 10, Usage.WENT_BACK),
    ],
)
def test_how_far_apart_they_are_has_a_word(counts, before, reading, logged, word):
    found = compared(counts=counts, before=before, reading=reading, logged=logged)

    assert found.word == word


@given(st.floats(0, 1e4), st.floats(0, 500), st.floats(0, 500))
def test_more_in_the_log_is_never_called_more_in_the_counter(before, rise, logged):
    found = compared(counts="hours", before=before, reading=before + rise, logged=logged)

    assert (found.word == Usage.COUNTER_MORE) <= (found.counter > logged)
    assert (found.word == Usage.LOG_MORE) <= (found.counter < logged)
