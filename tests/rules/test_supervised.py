"""A supervised bout counts once towards its day, whoever else tells of it."""

from datetime import date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.day_status import DayCounts
from homeprogram.calc.repeats import Timed
from homeprogram.calc.supervised import Supervised, untold, with_supervised

NINE = datetime.fromisoformat("2030-03-05T09:00")  # by the wall, as a phone writes it
LEFT, RIGHT = "left limb", "right limb"


def logged(minute: int, *, episode: str = LEFT, minutes: float = 15) -> Timed:
    return Timed("phone", episode, NINE + timedelta(minutes=minute), minutes)


def seen(*, complete: bool = True, on_phone: bool = False) -> Supervised:
    return Supervised(
        timed=Timed("clinic", LEFT, NINE, 15),
        on=date(2030, 3, 5),
        contractions=15 if complete else 5,
        complete=complete,
        at_floor=True,
        on_phone=on_phone,
    )


@pytest.mark.parametrize("minute", [-14, -9, 0, 9, 14])
def test_a_logged_bout_at_about_the_same_time_is_it(minute):
    assert untold([seen()], [logged(minute)]) == []


@pytest.mark.parametrize("minute", [-15, 15, 240])
def test_one_at_another_time_is_another(minute):
    assert untold([seen()], [logged(minute)]) == [seen()]


def test_the_other_limbs_bout_is_another():
    assert untold([seen()], [logged(0, episode=RIGHT)]) == [seen()]


def test_one_that_is_on_the_phone_is_any_bout_of_its_day():
    assert untold([seen(on_phone=True)], [logged(600)]) == []
    assert untold([seen(on_phone=True)], []) == [seen(on_phone=True)]


def test_what_only_the_clinic_knows_is_added():
    counts = with_supervised(DayCounts(bouts_done=1, minutes=15), [seen()], [logged(240)])

    assert (counts.bouts_done, counts.contractions, counts.minutes) == (2, 15, 30)
    assert counts.at_floor == 1


def test_a_short_one_is_partial():
    counts = with_supervised(DayCounts(), [seen(complete=False)], [])

    assert (counts.bouts_done, counts.bouts_partial) == (0, 1)


@given(st.lists(st.integers(-300, 300), max_size=4), st.booleans())
def test_it_never_counts_twice(minutes, on_phone):
    """However many bouts the phone tells of, the supervised one adds one or none."""
    told = [logged(minute) for minute in minutes]

    added = with_supervised(DayCounts(), [seen(on_phone=on_phone)], told).bouts_done

    assert added == (0 if any(abs(m) < 15 for m in minutes) or (on_phone and told) else 1)
