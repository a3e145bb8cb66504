"""The course: a strength test is due, the course may be reviewed; never that it is done."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from homeprogram.calc.flag_course import course_review_due, strength_test_due
from homeprogram.calc.flag_facts import ProgramFact, StrengthFact
from tests.rules.build import DEFAULTS, EpisodeFacts, facts

START = date(2030, 3, 4)
RUNNING = ProgramFact(running=True, start=START, revision_id="revision-1")
LIMB = EpisodeFacts("left", ())


def at(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 9, tzinfo=UTC)


def strength(on: date, **changes) -> StrengthFact:
    return StrengthFact(**{"on": on, "recorded_at": at(on), "lsi_pct": 82.0} | changes)


def cards(rule, program: ProgramFact, days: int) -> list:
    told = facts(now=at(START + timedelta(days=days)), programs={"left": program})
    return list(rule(LIMB, told, DEFAULTS) if rule is strength_test_due else rule(LIMB, told))


def test_four_weeks_without_a_test_are_a_card_and_a_day_less_is_not():
    assert cards(strength_test_due, RUNNING, 27) == []

    (card,) = cards(strength_test_due, RUNNING, 28)

    assert card.key == ("left", "strength_test_due")
    assert card.fact_at == datetime(2030, 4, 1, tzinfo=UTC)
    assert (card.basis["tested_on"], card.basis["since"]) == ("", "2030-03-04")


def test_a_test_counts_from_its_day_and_one_before_the_program_from_its_start():
    before = replace(RUNNING, test=strength(START - timedelta(days=20)))
    within = replace(RUNNING, test=strength(START + timedelta(days=10)))

    assert cards(strength_test_due, before, 27) == []
    assert cards(strength_test_due, before, 28)
    assert cards(strength_test_due, within, 37) == []
    assert cards(strength_test_due, within, 38)


def test_a_test_still_missing_is_news_every_four_weeks():
    moments = {cards(strength_test_due, RUNNING, days)[0].fact_at for days in range(28, 112)}

    assert len(moments) == 3


@pytest.mark.parametrize("rule", [strength_test_due, course_review_due])
def test_a_program_that_ended_or_has_not_begun_asks_for_nothing(rule):
    over = replace(RUNNING, running=False, planned_weeks=6)

    assert cards(rule, over, 200) == []


def test_the_course_may_be_reviewed_once_weeks_and_symmetry_are_reached():
    program = replace(RUNNING, test=strength(START + timedelta(days=30)))

    assert cards(course_review_due, program, 41) == []
    (card,) = cards(course_review_due, program, 42)
    assert card.basis["what"] == ["conditions_met"]
    assert card.fact_at == datetime(2030, 4, 15, tzinfo=UTC)


def test_a_test_after_the_weeks_is_the_fact():
    program = replace(RUNNING, test=strength(START + timedelta(days=50)))

    assert cards(course_review_due, program, 60)[0].fact_at == at(START + timedelta(days=50))


def test_after_surgery_the_weeks_count_from_surgery():
    surgery = START - timedelta(days=14)
    program = replace(RUNNING, pathway="post_operative", surgery_on=surgery, test=strength(START))

    assert cards(course_review_due, program, 69) == []
    assert cards(course_review_due, program, 70)


@pytest.mark.parametrize(
    "test", [None, strength(START, lsi_pct=79.9), strength(START, lsi_pct=None),
             strength(START, lsi_reliable=False)]
)  # fmt: skip
def test_without_a_symmetry_that_can_be_trusted_no_conditions_are_met(test):
    assert cards(course_review_due, replace(RUNNING, test=test), 90) == []


def test_planned_weeks_that_are_over_need_no_test():
    program = replace(RUNNING, planned_weeks=8)

    assert cards(course_review_due, program, 55) == []
    (card,) = cards(course_review_due, program, 56)
    assert card.basis["what"] == ["planned_weeks_over"]
