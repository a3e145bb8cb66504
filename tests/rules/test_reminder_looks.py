"""When the clock looks at a patient next, what may be asked by hand, and what came of it."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from importlib import resources
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.reminder_effect import Effect, effect
from homeprogram.calc.reminders import (
    Case,
    DayState,
    Sent,
    Wanted,
    Why,
    contact_now,
    next_look,
    reminder_due,
)
from tests.rules.build import some

ZONES = sorted(resources.files("tzdata").joinpath("zones").read_text("utf-8").split())
UTC_ZONE = ZoneInfo("UTC")
NOON = datetime(2030, 3, 4, 12, tzinfo=UTC)
AT_SIX = Wanted(times=(time(18),), channels=("email",))
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
walls = st.times().map(lambda wall: wall.replace(second=0, microsecond=0))


def case(**changes) -> Case:
    told = {"wanted": AT_SIX, "zone": UTC_ZONE, "state_of": lambda day: DayState.OPEN}
    return Case(**(told | changes))


def sent(*moments: datetime) -> list[Sent]:
    return [Sent(at, at.date(), "email") for at in moments]


@some
@suppose(
    st.sampled_from(ZONES),
    st.integers(0, 3 * 366 * 24 * 60),
    st.lists(walls, min_size=1, max_size=3).map(tuple),
)
def test_no_moment_at_which_a_reminder_begins_to_be_due_is_passed_over(zone, minute, times):
    """From one look to the next nothing began that the look did not come for."""
    now = datetime(2025, 1, 1, tzinfo=UTC) + timedelta(minutes=minute)
    wanted = replace(AT_SIX, times=times)
    asked = case(wanted=wanted, zone=ZoneInfo(zone))
    look = next_look(wanted, asked.zone, now)

    assert now < look <= now + 2 * DAY
    just_before = look - timedelta(seconds=1)
    if just_before > now and (found := reminder_due(asked, just_before)):
        assert found.at <= now


def test_the_next_look_is_at_the_wall_time_that_dateutil_gives_it():
    for name in ZONES:
        look = next_look(AT_SIX, ZoneInfo(name), NOON)
        wall = look.astimezone(tz.gettz(name)).replace(tzinfo=None)
        assert wall.time() == time(18), name
        assert look - DAY <= NOON < look, name


def test_who_wants_none_is_never_looked_at():
    assert next_look(replace(AT_SIX, on=False), UTC_ZONE, NOON) is None
    assert next_look(replace(AT_SIX, times=()), UTC_ZONE, NOON) is None


@pytest.mark.parametrize("state", list(DayState))
def test_a_request_by_hand_goes_whatever_is_due(state):
    found = contact_now(case(state_of=lambda day: state), NOON)

    assert (found.why, found.at, found.until) == (None, NOON, NOON + 6 * HOUR)


@pytest.mark.parametrize(
    ("changes", "now", "why"),
    [
        ({"wanted": replace(AT_SIX, channels=())}, NOON, Why.NO_CHANNEL),
        ({}, NOON + 9 * HOUR, Why.QUIET_HOURS),
        ({"sent": sent(NOON - HOUR)}, NOON, Why.DAY_CAP),
        ({"sent": sent(NOON - DAY, NOON - 3 * DAY, NOON - 6 * DAY)}, NOON, Why.WEEK_CAP),
    ],
)
def test_but_it_keeps_the_caps_the_night_and_a_patients_no(changes, now, why):
    assert contact_now(case(**changes), now).why is why


def days(*numbers: int) -> list[date]:
    return [date(2030, 3, n) for n in numbers]


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2030, 3, day, hour, minute, tzinfo=UTC)


def effect_of(sent, due_days, logged, now=NOON + 60 * DAY) -> Effect:
    return effect(sent, due_days, logged, UTC_ZONE, now)


def test_each_reminder_is_set_beside_the_nearest_like_day_without_one():
    logged = [at(4, 19), at(5, 20, 59), at(6, 21, 1)]
    found = effect_of([at(4, 18)], days(4, 5, 6), logged)

    assert found == Effect(pairs=1, logged_with=1, logged_without=1)


def test_a_log_after_three_hours_came_of_nothing():
    assert effect_of([at(4, 18)], days(4, 5), [at(4, 21), at(5, 21)]) == Effect(1, 0, 0)


def test_a_day_on_which_something_was_logged_before_that_hour_is_not_like_it():
    assert effect_of([at(4, 18)], days(4, 5), [at(5, 9)]) == Effect()


def test_a_day_serves_as_the_like_of_one_reminder_only():
    assert effect_of([at(4, 18), at(6, 18)], days(4, 5, 6), []).pairs == 1


def test_no_day_further_off_than_two_weeks_is_taken():
    assert effect_of([at(4, 18)], days(4, 18), []).pairs == 1
    assert effect_of([at(4, 18)], days(4, 19), []).pairs == 0


def test_a_reminder_whose_three_hours_are_not_over_counts_for_nothing():
    just_before = at(5, 21) - timedelta(seconds=1)

    assert effect_of([at(5, 18)], days(4, 5), [], just_before) == Effect()
    assert effect_of([at(5, 18)], days(4, 5), [], at(5, 21)).pairs == 1


def test_nor_does_a_day_without_one_on_which_they_are_not_over():
    just_before = at(5, 21) - timedelta(seconds=1)

    assert effect_of([at(4, 18)], days(4, 5), [], just_before) == Effect()
    assert effect_of([at(4, 18)], days(4, 5), [], at(5, 21)).pairs == 1


def test_what_is_not_over_leaves_its_day_to_no_other_reminder():
    assert effect_of([at(4, 18), at(5, 18)], days(4, 5), [], at(5, 19)) == Effect()
