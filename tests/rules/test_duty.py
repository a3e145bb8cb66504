"""Who is asked to look at a safety flag: always somebody, and ever more while nobody looks."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.duty import (
    DaysOff,
    Person,
    Roster,
    asked,
    duty_time,
    level,
    on_duty,
    steps,
    waiting,
)
from tests.rules.build import MONDAY, many

DAY = timedelta(days=1)
SATURDAY = MONDAY + 5 * DAY
EVERY_DAY = frozenset(range(7))


def person(key: str, **more) -> Person:
    return Person(key, **more)


def roster(*people: Person, closed: tuple = ()) -> Roster:
    return Roster(people, closed)


LEAD = person("lead", lead=True)
OWN, COVERED = person("own"), person("own", cover="cover")
COVER, OTHER = person("cover"), person("other")
AWAY = DaysOff(MONDAY, MONDAY, "cover")
CLOSED = DaysOff(MONDAY, MONDAY, "other")

TABLE = {
    "there, without a cover": (
        roster(LEAD, OWN, OTHER),
        (("own",), ("lead", "other")),
    ),
    "there, with a cover": (
        roster(LEAD, COVERED, COVER, OTHER),
        (("own",), ("cover",), ("lead",)),
    ),
    "away, with a cover": (
        roster(LEAD, person("own", absences=(AWAY,)), COVER, OTHER),
        (("cover",), ("lead",)),
    ),
    "away, and the cover too": (
        roster(LEAD, person("own", absences=(AWAY,)), person("cover", absences=(AWAY,)), OTHER),
        (("lead", "other"),),
    ),
    "not one of their days": (
        roster(LEAD, person("own", weekdays=frozenset({2})), OTHER),
        (("lead", "other"),),
    ),
    "nobody's patient": (roster(LEAD, OTHER), (("lead", "other"),)),
    "the lead's own patient, alone": (roster(person("own", lead=True)), (("own",),)),
    "the clinic is closed": (roster(LEAD, OWN, OTHER, closed=(CLOSED,)), (("other",), ("lead",))),
    "closed, and who answers has left": (
        roster(LEAD, OWN, closed=(DaysOff(MONDAY, MONDAY, "gone"),)),
        (("lead",),),
    ),
    "nobody is there": (
        roster(person("lead", lead=True, absences=(AWAY,)), person("own", weekdays=frozenset())),
        (("lead",),),
    ),
    "nobody is there and nobody leads": (
        roster(person("own", weekdays=frozenset()), person("other", weekdays=frozenset())),
        (("own", "other"),),
    ),
}


def steps_of(case: str) -> tuple:
    return steps(TABLE[case][0], "own", MONDAY)


@pytest.mark.parametrize("case", TABLE)
def test_who_is_asked_first_next_and_last(case):
    assert steps_of(case) == TABLE[case][1]


def at(hour: float, day: int = 0) -> datetime:
    return datetime(2030, 3, 4, tzinfo=UTC) + day * DAY + timedelta(hours=hour)


COVERED_CLINIC = roster(LEAD, COVERED, COVER)


@pytest.mark.parametrize(
    ("hours", "who"),
    [
        (9, ("own",)),
        (12.9, ("own",)),
        (13, ("own", "cover")),
        (17, ("own", "cover", "lead")),
        (23, ("own", "cover", "lead")),
    ],
)
def test_four_hours_of_duty_a_step(hours, who):
    assert asked(COVERED_CLINIC, "own", at(9), at(hours)) == who


def test_a_night_is_no_time_in_which_it_could_have_been_seen():
    evening, next_morning = at(17), at(11, day=1)

    assert duty_time(COVERED_CLINIC, evening, next_morning) == timedelta(hours=4)
    assert asked(COVERED_CLINIC, "own", evening, next_morning) == ("own", "cover")


def test_on_a_weekend_without_anybody_it_goes_straight_to_the_lead():
    friday = at(17, day=4)

    told = waiting(COVERED_CLINIC, "own", friday, friday)

    assert (told.now, told.next, told.next_at) == (("own",), ("lead",), at(0, day=5))
    assert asked(COVERED_CLINIC, "own", friday, at(10, day=5)) == ("lead",)
    assert asked(COVERED_CLINIC, "own", friday, at(9, day=7)) == ("own",)


def test_it_says_who_is_next_and_when():
    told = waiting(COVERED_CLINIC, "own", at(9), at(10))

    assert (told.now, told.next, told.next_at) == (("own",), ("cover",), at(13))


def test_after_everybody_was_asked_there_is_no_next():
    told = waiting(roster(person("lead", lead=True, weekdays=EVERY_DAY)), "lead", at(9), at(10),
    )  # fmt: skip

    assert (told.now, told.next, told.next_at) == (("lead",), (), None)


def test_hours_of_duty_are_the_clinics_own():
    tokyo = replace(COVERED_CLINIC, zone=ZoneInfo("Asia/Tokyo"))  # nine hours ahead

    assert duty_time(tokyo, at(0), at(8)) == timedelta(hours=8)
    assert duty_time(tokyo, at(0), at(24)) == timedelta(hours=10)


KEYS = ("a", "b", "c")
weekdays = st.frozensets(st.integers(0, 6), max_size=7)


@st.composite
def days_off(draw) -> DaysOff:
    first = draw(st.integers(0, 12))
    length = draw(st.integers(0, 6))
    cover = draw(st.sampled_from([*KEYS, "gone", None]))
    return DaysOff(MONDAY + first * DAY, MONDAY + (first + length) * DAY, cover)


@st.composite
def rosters(draw) -> Roster:
    people = [
        Person(
            key,
            draw(st.booleans()),
            draw(weekdays),
            draw(st.sampled_from([*KEYS, None])),
            tuple(draw(st.lists(days_off(), max_size=2))),
        )
        for key in KEYS[: draw(st.integers(1, 3))]
    ]
    return Roster(tuple(people), tuple(draw(st.lists(days_off(), max_size=2))))


owners = st.sampled_from([*KEYS, "gone", None])
minutes = st.integers(0, 14 * 24 * 60)


@many
@given(rosters(), owners, minutes, minutes)
def test_somebody_who_works_here_is_always_asked_and_nobody_twice(found, own, since, later):
    begins, moment = at(since / 60), at((since + later) / 60)

    who = asked(found, own, begins, moment)

    assert who
    assert len(set(who)) == len(who)
    assert set(who) <= {one.id for one in found.people}


@many
@given(rosters(), owners, minutes, st.lists(minutes, min_size=2, max_size=6))
def test_it_never_goes_back_a_step_and_nobody_drops_out_within_a_day(found, own, since, waits):
    begins = at(since / 60)
    moments = [begins + timedelta(minutes=one) for one in sorted(waits)]

    levels = [level(found, begins, moment) for moment in moments]
    who = [(m.date(), set(asked(found, own, begins, m))) for m in moments]

    assert levels == sorted(levels)
    assert all(before <= after for (day, before), (same, after) in pairwise(who) if day == same)


@many
@given(rosters(), owners, minutes, minutes)
def test_the_next_is_asked_at_the_moment_told_and_not_before(found, own, since, later):
    begins, moment = at(since / 60), at((since + later) / 60)

    told = waiting(found, own, begins, moment)

    if told.next_at:
        just_before = told.next_at - timedelta(seconds=1)
        assert set(told.next) <= set(asked(found, own, begins, told.next_at))
        if just_before >= moment:
            assert not set(told.next) & set(asked(found, own, begins, just_before)) - set(told.now)


@many
@given(rosters(), st.integers(0, 20))
def test_who_is_on_duty_works_that_day_or_answers_for_a_closed_clinic(found, n):
    day = MONDAY + n * DAY
    closure = found.closure_on(day)

    for key in on_duty(found, day):
        assert key == closure.cover if closure else found.person(key).works_on(day)
