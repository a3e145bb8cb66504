"""Properties of the exercise check: limits hold on their days and only inform."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.surgeon_limits import KINDS, SurgeonLimit, exercise_findings

DAY = date(2030, 3, 4)
MOVING = {"name": "Straighten the knee", "contraction_type": "concentric"}
STILL = {"name": "Tighten the thigh", "contraction_type": "isometric"}
days = st.dates(date(2030, 1, 1), date(2030, 6, 1))
angles = st.integers(0, 140)


@st.composite
def limits(draw) -> SurgeonLimit:
    first = draw(days)
    low, high = sorted(draw(st.tuples(angles, angles)))
    return SurgeonLimit(
        kind=draw(st.sampled_from(KINDS)),
        detail="as told",
        said_by="Dr Ama Lind",
        first_day=first,
        last_day=draw(st.none() | st.integers(0, 90).map(lambda n: first + timedelta(n))),
        from_deg=low,
        to_deg=high,
    )


def found(told, *, angle=65, exercises=(MOVING, STILL), pathway="post_operative", day=DAY) -> set:
    findings = exercise_findings(
        exercises, knee_angle_deg=angle, pathway=pathway, limits=told, day=day
    )
    return {one.code for one in findings}


@given(st.lists(limits(), max_size=6))
def test_a_limit_that_does_not_hold_that_day_changes_nothing(told):
    standing = [one for one in told if one.holds_on(DAY)]

    assert found(told) == found(standing)


@given(st.lists(limits(), max_size=6))
def test_moving_after_surgery_is_named_unless_it_is_cleared_that_day(told):
    cleared = any(one.kind == "movement" and one.holds_on(DAY) for one in told)

    assert ("movement_not_cleared" in found(told)) != cleared


@given(st.lists(limits(), max_size=6), angles)
def test_an_angle_every_limit_allows_is_never_outside(told, angle):
    allowed = all(
        one.from_deg <= angle <= one.to_deg for one in told if one.kind == "range_of_motion"
    )

    assert not (allowed and "angle_outside_limit" in found(told, angle=angle))


@given(limits(), days)
def test_a_limit_holds_from_its_first_day_to_its_last(limit, day):
    assert limit.holds_on(limit.first_day)
    assert not limit.holds_on(limit.first_day - timedelta(1))
    assert limit.last_day is None or not limit.holds_on(limit.last_day + timedelta(1))


@given(st.lists(limits(), max_size=6))
def test_an_angle_nobody_gave_is_not_judged(told):
    assert "angle_outside_limit" not in found(told, angle=None)
