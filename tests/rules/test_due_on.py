"""Due days against the shared cases and against dateutil's recurrence rules."""

from datetime import date, datetime, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import DAILY, rrule, rruleset
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.schedule import (
    DueDay,
    Plan,
    PlannedRevision,
    Span,
    due_on,
    effective_revision,
)
from tests.rules.build import MONDAY, many, revision, shared_cases

SPAN_DAYS = 120


def planned(row: dict) -> PlannedRevision:
    """A revision as the phone has it: its day of effect is given, not derived."""
    effective = row["effective_from"] and date.fromisoformat(row["effective_from"])
    return PlannedRevision(
        id=row["id"],
        number=row["number"],
        first_day=effective or date.fromisoformat(row["first_day"]),
        named_on=effective and effective - timedelta(days=1),
        weekdays=tuple(row["weekdays"]),
        bouts_per_day=row["bouts_per_day"],
        contractions_per_bout=15,
    )


def plan_of(program: dict) -> Plan:
    day = date.fromisoformat
    return Plan(
        revisions=tuple(planned(row) for row in program["revisions"]),
        ended_on=program["ended_on"] and day(program["ended_on"]),
        pauses=tuple(
            Span(day(p["first_day"]), p["last_day"] and day(p["last_day"]))
            for p in program["pauses"]
        ),
    )


@pytest.mark.parametrize(("given", "expected"), shared_cases("plan.json"))
def test_the_clinic_asks_what_the_phone_shows(given, expected):
    plan = plan_of(given["program"])
    day = date.fromisoformat(given["day"])

    in_effect = effective_revision(plan.revisions, day)

    assert due_on(plan, day).due == expected["due_bouts"]
    assert getattr(in_effect, "number", None) == expected["revision_number"]


# --- dateutil as the reference ---------------------------------------------------

# Starts lie around year ends and leap days (2032 has one, 2100 has none).
STARTS = [
    date(2029, 12, 20),
    date(2030, 3, 4),
    date(2032, 2, 10),
    date(2031, 12, 29),
    date(2100, 2, 1),
]
weekdays = st.sets(st.integers(0, 6), min_size=1, max_size=7)


@st.composite
def programs(draw) -> dict:
    start = draw(st.sampled_from(STARTS))
    day = st.integers(0, SPAN_DAYS).map(lambda n: start + timedelta(days=n))
    return {
        "start": start,
        "first": (draw(weekdays), start, draw(st.none() | day)),
        "second": (draw(weekdays), draw(day), draw(st.none() | day)),
        "ended_on": draw(st.none() | day),
        "pauses": [sorted(pair) for pair in draw(st.lists(st.tuples(day, day), max_size=3))],
        "open_pause": draw(st.none() | day),
    }


def at_midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day)  # noqa: DTZ001  dateutil compares plain days


NEVER = at_midnight(date(9000, 1, 1))
A_DAY = relativedelta(days=+1)


def in_effect(first_day: date, named: date | None) -> datetime:
    """The later of its first day and the day after a push names it."""
    return max(at_midnight(first_day), at_midnight(named) + A_DAY) if named else NEVER


def expected_days(program: dict) -> dict[date, int]:
    """The same program in the words of RFC 5545: recurrences, and dates taken out."""
    last = at_midnight(program["start"]) + relativedelta(days=+SPAN_DAYS)
    end = min(last, at_midnight(program["ended_on"] or last.date()))
    first, second = program["first"], program["second"]
    begins, changes = in_effect(*first[1:]), in_effect(*second[1:])
    rules = {
        1: rrule(DAILY, byweekday=first[0], dtstart=begins, until=min(end, changes - A_DAY)),
        2: rrule(DAILY, byweekday=second[0], dtstart=changes, until=end),
    }
    pauses = [*program["pauses"], (program["open_pause"] or NEVER.date(), last.date())]
    return {
        moment.date(): number for number, rule in rules.items() for moment in without(rule, pauses)
    }


def without(rule: rrule, pauses: list) -> rruleset:
    rules = rruleset()
    rules.rrule(rule)
    for first, last in pauses:
        rules.exrule(rrule(DAILY, dtstart=at_midnight(first), until=at_midnight(last)))
    return rules


def plan_from(program: dict) -> Plan:
    first, second = program["first"], program["second"]
    return Plan(
        revisions=(
            # The order in which they are handed over must not matter.
            revision(2, weekdays=tuple(second[0]), first_day=second[1], named_on=second[2]),
            revision(1, weekdays=tuple(first[0]), first_day=first[1], named_on=first[2]),
        ),
        ended_on=program["ended_on"],
        pauses=(
            *(Span(first, last) for first, last in program["pauses"]),
            Span(program["open_pause"] or NEVER.date(), None),
        ),
    )


@many
@suppose(programs())
def test_due_days_are_those_of_the_recurrence_rules(program):
    plan = plan_from(program)
    span = [program["start"] + timedelta(days=n) for n in range(-30, SPAN_DAYS + 1)]

    due_days = {day: due_on(plan, day) for day in span if due_on(plan, day).due}

    assert {day: int(due.revision_id[-1]) for day, due in due_days.items()} == expected_days(
        program
    )


# --- what a day carries ------------------------------------------------------------


def test_a_due_day_asks_for_all_bouts_and_their_contractions():
    plan = Plan((revision(bouts_per_day=2, contractions_per_bout=12),), None, ())

    assert due_on(plan, MONDAY) == DueDay(
        due=2, contractions=24, per_day=2, contractions_per_day=24, revision_id="revision-1"
    )


def test_an_off_day_is_due_nothing_and_still_knows_what_a_due_day_asks():
    plan = Plan((revision(weekdays=(1,), bouts_per_day=2, contractions_per_bout=12),), None, ())

    assert due_on(plan, MONDAY) == DueDay(
        per_day=2, contractions_per_day=24, revision_id="revision-1"
    )


def test_a_paused_day_is_due_nothing():
    plan = Plan((revision(),), None, (Span(MONDAY, MONDAY),))

    asked = due_on(plan, MONDAY)

    assert (asked.paused, asked.due, asked.contractions) == (True, 0, 0)


@pytest.mark.parametrize("pauses", [(), (Span(date(2020, 1, 1), None),)])
def test_without_a_revision_in_effect_nothing_is_due_nor_paused(pauses):
    plan = Plan((revision(named_on=None),), None, pauses)

    assert due_on(plan, MONDAY) == DueDay()


def test_after_the_end_nothing_is_due_nor_paused():
    plan = Plan((revision(),), MONDAY - timedelta(days=1), (Span(MONDAY, None),))

    assert due_on(plan, MONDAY) == DueDay()


@pytest.mark.parametrize(
    ("named_on", "effective_from"),
    [
        (date(2030, 3, 1), date(2030, 3, 4)),
        (date(2030, 3, 3), date(2030, 3, 4)),
        (date(2030, 3, 4), date(2030, 3, 5)),
        (date(2030, 3, 31), date(2030, 4, 1)),
        (date(2031, 12, 31), date(2032, 1, 1)),
        (None, None),
    ],
)
def test_a_revision_waits_for_its_first_day_and_for_the_day_after_it_was_named(
    named_on, effective_from
):
    assert revision(first_day=date(2030, 3, 4), named_on=named_on).effective_from == effective_from
