"""Which bouts may be one bout told twice."""

from datetime import datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.repeats import Timed, possible_repeats
from tests.rules.build import many

EIGHT = datetime(2030, 3, 5, 8)  # noqa: DTZ001  a wall clock has no zone


def bout(name: str, after_min: int, minutes: float = 15, limb: str = "left") -> Timed:
    return Timed(name, limb, EIGHT + timedelta(minutes=after_min), minutes)


def test_two_bouts_of_one_limb_at_once_may_be_one():
    assert possible_repeats([bout("a", 0), bout("b", 14)]) == {"a", "b"}


def test_two_short_bouts_that_begin_within_ten_minutes_may_be_one():
    assert possible_repeats([bout("a", 0, 3), bout("b", 9, 3)]) == {"a", "b"}


def test_bouts_one_after_the_other_are_two():
    assert possible_repeats([bout("a", 0), bout("b", 15)]) == set()


def test_both_limbs_at_once_are_two_bouts():
    assert possible_repeats([bout("a", 0), bout("b", 0, limb="right")]) == set()


def test_the_one_of_three_that_stands_apart_is_not_named():
    assert possible_repeats([bout("a", 0), bout("b", 300), bout("c", 5)]) == {"a", "c"}


@many
@given(st.lists(st.tuples(st.integers(0, 600), st.integers(1, 60)), max_size=8), st.randoms())
def test_the_order_they_came_in_does_not_matter(times, random):
    bouts = [bout(str(n), after, minutes) for n, (after, minutes) in enumerate(times)]
    shuffled = random.sample(bouts, len(bouts))

    assert possible_repeats(shuffled) == possible_repeats(bouts)
