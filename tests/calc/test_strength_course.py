"""Tests side by side: one unit, honest gaps, a change against its error."""

from datetime import date

import pytest

from homeprogram.calc.strength import error_of_index, error_of_one
from homeprogram.calc.strength_course import DatedTest, change, course_of

TORQUE = {"unit": "Nm", "method": "electromechanical", "other_limb": "sound"}
FORCE = {"unit": "N", "lever_arm_m": 0.3, "method": "hand_held_fixed", "other_limb": "sound"}


def dated(day: int, involved, uninvolved=None, *, request=TORQUE, lsi=None, mdc=20) -> DatedTest:
    result = {
        "involved_mvic": involved,
        "uninvolved_mvic": uninvolved,
        "lsi_pct": lsi,
        "mdc_pct": mdc,
    }
    return DatedTest(date(2030, 3, day), request, result)


def test_the_error_of_one_test_is_less_than_that_of_a_change():
    # An MDC of 19.9 % belongs to 1.96 SEM of 14.07 %; 100 Nm err by 14.07 Nm.
    assert error_of_one(100, mdc_pct=19.9) == pytest.approx(14.0714, abs=1e-4)
    assert error_of_index(80, mdc_pct=25) == 20


def test_forces_become_torques_where_the_newest_has_a_lever_arm():
    course = course_of([dated(1, 100, 200, request=FORCE), dated(8, 120, 200, request=FORCE)])

    assert course.unit == "Nm"
    assert [point.involved for point in course.points] == [30, 36]


def test_without_a_lever_arm_forces_stay_forces_and_a_torque_is_a_gap():
    bare = FORCE | {"lever_arm_m": None, "unit": "kgf"}

    course = course_of([dated(1, 90), dated(8, 10, request=bare)])

    assert course.unit == "N"
    assert [point.involved for point in course.points] == [None, pytest.approx(98.0665)]


def test_a_limb_that_was_not_tested_is_a_gap():
    course = course_of([dated(1, 90, 120), dated(8, None, 121), dated(15, 95, None)])

    assert [point.involved for point in course.points] == [90, None, 95]
    assert [point.uninvolved for point in course.points] == [120, 121, None]


def test_lsi_carries_its_error_and_whether_it_can_be_relied_on():
    detrained = TORQUE | {"other_limb": "detrained"}

    course = course_of(
        [dated(1, 80, 100, lsi=80.0), dated(8, 80, 100, lsi=80.0, request=detrained)]
    )

    first, second = course.points
    assert (first.lsi_low, first.lsi_high, first.lsi_reliable) == (64, 96, True)
    assert not second.lsi_reliable


def test_an_unknown_error_gives_no_span():
    point = course_of([dated(1, 80, 100, lsi=80.0, mdc=None)]).points[0]

    assert (point.lsi_low, point.lsi_high) == (None, None)


def test_two_tests_make_no_trend_and_three_do():
    tests = [dated(1, 70), dated(8, 80), dated(15, 90)]

    assert course_of(tests[:2]).trend is None
    assert course_of(tests).trend.per_week == pytest.approx(10)


def test_the_band_stands_on_tested_days_only():
    line = course_of([dated(1, 70), dated(8, 84), dated(15, 90), dated(29, 99)]).trend

    days = [date.fromordinal(point.day).day for point in line.points]
    assert days == [1, 8, 15, 29]


@pytest.mark.parametrize(
    ("now", "pct", "within"), [(110, 10, True), (120, 20, True), (121, 21, False), (79, -21, False)]
)
def test_a_change_is_held_against_its_error(now, pct, within):
    found = change(dated(1, 100), dated(8, now))

    assert found.pct == pytest.approx(pct)
    assert found.within_error is within


def test_tests_of_another_method_are_not_compared():
    other = TORQUE | {"method": "hand_held"}

    found = change(dated(1, 100), dated(8, 150, request=other))

    assert (found.pct, found.within_error) == (None, None)


def test_a_change_of_a_method_nobody_measured_has_no_verdict():
    found = change(dated(1, 100, mdc=None), dated(8, 150, mdc=None))

    assert found.pct == 50
    assert found.within_error is None


def test_pounds_and_newtons_compare():
    pounds = FORCE | {"unit": "lbf"}

    found = change(dated(1, 444.82216, request=FORCE), dated(8, 110, request=pounds))

    assert found.pct == pytest.approx(10)
