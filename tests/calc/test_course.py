"""Rules of thumb of the trade, common practice, no source: 12 weeks after knee
surgery, 6 in conservative care, LSI of at least 80 %."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.course import CourseRules, course_review


def review(**given):
    figures = {
        "pathway": "post_operative",
        "weeks_since_start": 12,
        "weeks_since_surgery": 12,
        "lsi_pct": 80.0,
        **given,
    }
    return course_review(**figures)


def codes(found) -> list[str]:
    return [item.code for item in found.unmet]


def test_80_percent_with_12_weeks_may_be_reviewed():
    found = review()

    assert found.may_review
    assert found.message == "The course may be reviewed for ending."


def test_79_9_percent_goes_on():
    found = review(lsi_pct=79.9)

    assert not found.may_review
    assert found.message == "Course not yet done: LSI 79.9 % is below 80 %."


def test_80_percent_at_week_8_after_surgery_is_too_early():
    assert codes(review(weeks_since_surgery=8)) == ["weeks"]


def test_every_unmet_condition_is_named():
    assert codes(review(weeks_since_surgery=8, lsi_pct=60)) == ["weeks", "lsi_low"]


def test_a_value_just_below_never_reads_as_the_threshold():
    assert "79.9 %" in review(lsi_pct=79.99).message


def test_conservative_care_counts_from_the_start():
    early = review(pathway="conservative", weeks_since_start=5)
    due = review(pathway="conservative", weeks_since_start=6, weeks_since_surgery=None)

    assert codes(early) == ["weeks"]
    assert due.may_review


def test_without_a_date_of_surgery_the_start_counts():
    assert codes(review(weeks_since_surgery=None, weeks_since_start=11)) == ["weeks"]


@pytest.mark.parametrize("lsi", [None, 95.0])
def test_an_unsound_other_limb_cannot_end_a_course_by_lsi(lsi):
    assert codes(review(lsi_pct=lsi, lsi_reliable=False)) == ["lsi_unreliable"]


def test_no_test_no_review():
    assert codes(review(lsi_pct=None)) == ["lsi_missing"]


def test_the_clinic_sets_its_own_values():
    rules = CourseRules(weeks_post_operative=16, lsi_pct=90)

    assert codes(review(rules=rules, weeks_since_surgery=15, lsi_pct=89)) == [
        "weeks",
        "lsi_low",
    ]


@given(st.floats(0, 150), st.floats(0, 52), st.floats(0, 20))
def test_stronger_or_later_never_closes_a_review(lsi, weeks, more):
    before = review(lsi_pct=lsi, weeks_since_surgery=weeks)
    after = review(lsi_pct=lsi + more, weeks_since_surgery=weeks + more)

    assert after.may_review >= before.may_review
