"""The numbers behind charts, tables and exports: gaps stay gaps, 0 only where it is known."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.adherence import Day
from homeprogram.calc.course_numbers import Felt, Measured, measures
from homeprogram.calc.day_status import DayCounts, DayStatus
from homeprogram.calc.schedule import DueDay
from homeprogram.calc.strength import error_of_index
from tests.rules.build import some

MONDAY = date(2030, 3, 4)
DUE = DueDay(due=2, contractions=30, per_day=2, contractions_per_day=30)


def day(place: int, status: DayStatus, *, due: DueDay = DUE, **logged) -> Day:
    on = MONDAY + timedelta(days=place)
    return Day(on, due, DayCounts(**logged), status, over=True)


def felt(place: int, discomfort: int = 3, before: int = 1, after: int = 2, channels=()) -> Felt:
    return Felt(MONDAY + timedelta(days=place), discomfort, before, after, channels)


def strength(place: int, **changes) -> Measured:
    values = {
        "evoked_pct": None,
        "evoked_of": "",
        "lsi_pct": None,
        "lsi_sound": True,
        "epic_pct": None,
        "mdc_pct": None,
    }
    return Measured(day=MONDAY + timedelta(days=place), **values | changes)


def charts(days, bouts=(), tests=()) -> dict[str, dict[str, tuple]]:
    found = measures(
        days=days, felt=bouts, tested=tests, evoked_goals=(), lsi_goals=(), epic_goals=()
    )
    return {one.code: {line.name: line.values for line in one.lines} for one in found}


@pytest.mark.parametrize(
    ("status", "value"),
    [
        (DayStatus.MISSED, 0),
        (DayStatus.NOT_DONE, 0),
        (DayStatus.NOT_KNOWN_YET, None),
        (DayStatus.STILL_OPEN, None),
        (DayStatus.PAUSED, None),
        (DayStatus.NOT_DUE, None),
    ],
)
def test_nothing_logged_is_zero_only_where_that_is_known(status, value):
    days = [day(0, DayStatus.DONE, bouts_done=2, contractions=30, minutes=30), day(1, status)]

    found = charts(days)

    assert found["bouts"]["logged"] == (2, value)
    assert found["contractions"]["logged"] == (30, value)
    assert found["minutes"]["logged"] == (30, value)


@pytest.mark.parametrize("status", list(DayStatus))
def test_what_was_logged_is_drawn_whatever_the_day_is_called(status):
    found = charts([day(0, status, bouts_partial=1, contractions=7, minutes=6.5)])

    assert found["bouts"]["logged"] == (1,)
    assert found["contractions"]["logged"] == (7,)
    assert found["minutes"]["logged"] == (6.5,)


def test_what_was_asked_stands_beside_it_on_due_days_alone():
    off = DueDay(per_day=2, contractions_per_day=30)
    days = [day(0, DayStatus.MISSED), day(1, DayStatus.NOT_DUE, due=off), day(2, DayStatus.PAUSED)]

    assert charts(days)["bouts"]["asked"] == (2, None, None)
    assert charts(days)["contractions"]["asked"] == (30, None, None)


def test_of_several_bouts_the_highest_of_the_day_counts():
    days = [day(0, DayStatus.DONE, bouts_done=2), day(1, DayStatus.DONE, bouts_done=1)]

    found = charts(days, [felt(0, 3, 1, 5), felt(0, 6, 2, 1), felt(1, 2, 0, 0)])

    assert found["discomfort"] == {"during the bout": (6, 2)}
    assert found["knee_pain"] == {"before the bout": (2, 0), "after the bout": (5, 0)}


def test_each_channel_is_a_line_and_each_unit_a_chart():
    def channel(number: int, value: float, unit: str = "mA") -> dict:
        return {"channel": number, "value": value, "unit": unit}

    days = [day(place, DayStatus.DONE, bouts_done=1) for place in range(3)]
    bouts = [
        felt(0, channels=[channel(1, 40), channel(2, 36.5)]),
        felt(0, channels=[channel(1, 44)]),
        felt(2, channels=[channel(1, 12, "level")]),
    ]

    found = charts(days, bouts)

    assert found["intensity_mA"] == {
        "channel 1": (44, None, None),
        "channel 2": (36.5, None, None),
    }
    assert found["intensity_level"] == {"channel 1": (None, None, 12)}


def test_an_index_brings_both_ends_of_its_error():
    days = [day(place, DayStatus.NOT_DUE, due=DueDay()) for place in range(2)]

    [lsi, low, high] = charts(days, tests=[strength(1, lsi_pct=80, mdc_pct=8.6)])["lsi"].items()

    error = error_of_index(80, mdc_pct=8.6)
    assert lsi == ("LSI", (None, 80))
    assert low == ("LSI, lowest within error", (None, round(80 - error, 1)))
    assert high == ("LSI, highest within error", (None, round(80 + error, 1)))


def test_an_index_without_a_known_error_stands_alone():
    found = charts([day(0, DayStatus.DONE)], tests=[strength(0, lsi_pct=80, epic_pct=71)])

    assert found["lsi"] == {"LSI": (80,)}
    assert found["epic"] == {"EPIC": (71,)}


def test_an_index_against_a_limb_that_is_not_sound_is_a_line_of_its_own():
    test = strength(0, lsi_pct=95, lsi_sound=False, mdc_pct=8.6)

    found = charts([day(0, DayStatus.DONE)], tests=[test])

    assert found["lsi"] == {"LSI, other limb not sound": (95,)}


def test_an_evoked_fraction_names_the_mvic_it_is_of():
    days = [day(0, DayStatus.DONE), day(1, DayStatus.DONE)]
    tests = [
        strength(0, evoked_pct=24, evoked_of="the other limb, same day"),
        strength(1, evoked_pct=48, evoked_of="the involved limb, same day"),
    ]

    assert charts(days, tests=tests)["evoked"] == {
        "of the MVIC of the involved limb, same day": (None, 48),
        "of the MVIC of the other limb, same day": (24, None),
    }


def test_of_two_tests_on_a_day_the_later_counts():
    tests = [strength(0, lsi_pct=60), strength(0, lsi_pct=72)]

    assert charts([day(0, DayStatus.DONE)], tests=tests)["lsi"] == {"LSI": (72,)}


def test_tests_and_bouts_of_days_outside_the_range_are_left_out():
    found = charts([day(0, DayStatus.NOT_DUE, due=DueDay())], [felt(5)], [strength(9, lsi_pct=60)])

    assert found == {}


kinds_of_days = st.lists(
    st.tuples(st.sampled_from(list(DayStatus)), st.integers(0, 2), st.integers(0, 2)),
    min_size=1,
    max_size=12,
)
ratings = st.lists(st.tuples(st.integers(0, 12), st.integers(0, 10)), max_size=10)


@some
@given(kinds_of_days, ratings)
def test_every_line_has_one_place_a_day_and_invents_no_number(kinds, bouts):
    days = [
        day(place, status, bouts_done=done, bouts_partial=partial, contractions=15 * done)
        for place, (status, done, partial) in enumerate(kinds)
    ]
    told = [felt(place, discomfort) for place, discomfort in bouts]

    found = charts(days, told)

    assert all(len(v) == len(days) for lines in found.values() for v in lines.values())
    for place, one in enumerate(days):
        value = found.get("bouts", {}).get("logged", [None] * len(days))[place]
        nothing = not (one.logged.bouts_done or one.logged.bouts_partial)
        assert (value == 0) == (nothing and one.status in {DayStatus.MISSED, DayStatus.NOT_DONE})
        rated = [d for at, d in bouts if at == place]
        discomfort = found.get("discomfort", {}).get("during the bout", [None] * len(days))
        assert discomfort[place] == max(rated, default=None)
