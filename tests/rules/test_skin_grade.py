import itertools

import pytest

from homeprogram.calc.skin import check_grade, mark_still_there, pad_grade, raises_hold
from tests.entries import FACTS_SAME, skin
from tests.rules.build import shared_cases

EVERY_ANSWER = [
    {"colour": colour, "pattern": pattern, "raised": r, "itchy": i, "sore": s, "broken": b}
    for colour, pattern in (
        ("same", None),
        ("slight", "even"),
        ("slight", "patchy"),
        ("marked", "even"),
        ("marked", "patchy"),
    )
    for r, i, s, b in itertools.product((False, True), repeat=4)
]


@pytest.mark.parametrize(("given", "expected"), shared_cases("skin_grade.json"))
def test_a_check_has_the_grade_the_phone_shows(given, expected):
    assert check_grade(given["pads"], given["moment"]) == expected


@pytest.mark.parametrize("later", ["before", "next_morning"])
def test_a_mark_that_lasts_never_weighs_less_than_a_fresh_one(later):
    lighter = [f for f in EVERY_ANSWER if pad_grade(f, later) < pad_grade(f, "after")]

    assert lighter == []


@pytest.mark.parametrize("fact", ["raised", "sore", "broken"])
@pytest.mark.parametrize("moment", ["before", "after", "next_morning"])
def test_one_more_complaint_never_lowers_the_grade(moment, fact):
    worse = [(facts, facts | {fact: True}) for facts in EVERY_ANSWER]

    assert [f for f, more in worse if pad_grade(more, moment) < pad_grade(f, moment)] == []


@pytest.mark.parametrize("moment", ["before", "after", "next_morning"])
def test_only_unchanged_skin_is_grade_0(moment):
    grades = [pad_grade(facts, moment) for facts in EVERY_ANSWER]

    assert grades.count(0) == 1
    assert pad_grade(FACTS_SAME, moment) == 0


def test_a_check_of_no_pads_is_grade_0():
    assert check_grade([], "after") == 0


@pytest.mark.parametrize(("grade", "holds"), [(0, False), (2, False), (3, True), (4, True)])
def test_a_hold_starts_at_grade_3(grade, holds):
    assert raises_hold(grade) is holds


@pytest.mark.parametrize(
    "facts",
    [
        {"colour": "slight", "pattern": "even"},
        {"colour": "marked", "pattern": "patchy"},
        {"raised": True},
        {"broken": True},
    ],
)
def test_a_mark_before_the_bout_excuses_the_day(facts):
    check = skin("before", **facts)

    assert mark_still_there(check["pads"], "before")


@pytest.mark.parametrize("facts", [{}, {"sore": True}, {"itchy": True}])
def test_skin_without_a_mark_excuses_nothing(facts):
    check = skin("before", **facts)

    assert not mark_still_there(check["pads"], "before")


@pytest.mark.parametrize("moment", ["after", "next_morning"])
def test_a_mark_at_another_moment_excuses_nothing(moment):
    check = skin(moment, colour="marked", pattern="patchy")

    assert not mark_still_there(check["pads"], moment)
