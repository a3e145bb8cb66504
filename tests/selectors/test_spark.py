"""Small lines: one scale from zero for all, a gap is a gap."""

from datetime import date, timedelta

from hypothesis import given as suppose
from hypothesis import strategies as st

from clinician.selectors.lately import DISCOMFORT
from clinician.selectors.spark import HEIGHT, PAD, line_of, scale_for
from tests.rules.build import some

DAYS = [date(2030, 3, 1) + timedelta(days=n) for n in range(14)]
values = st.dictionaries(st.sampled_from(DAYS), st.integers(0, 10), min_size=1)


def points(line) -> dict[float, float]:
    spots = [tuple(map(float, p.split(","))) for run in line.runs for p in run.split()]
    return dict([*spots, *line.dots])


@some
@suppose(values)
def test_every_day_with_a_value_is_one_point_and_no_other(given_values):
    line = line_of(given_values, DAYS, DISCOMFORT)

    assert len(points(line)) == len(given_values)


@some
@suppose(values)
def test_days_are_joined_only_where_they_follow_each_other(given_values):
    line = line_of(given_values, DAYS, DISCOMFORT)
    neighbours = sum(
        day in given_values and day + timedelta(days=1) in given_values for day in DAYS[:-1]
    )

    assert sum(len(run.split()) - 1 for run in line.runs) == neighbours


@some
@suppose(values, values)
def test_two_patients_share_one_scale(one, other):
    drawn = {}
    for said in (one, other):
        for day, spot in zip(sorted(said), sorted(points(line_of(said, DAYS, DISCOMFORT)).items()),
                             strict=True):  # fmt: skip
            drawn.setdefault(said[day], set()).add(spot[1])

    assert all(len(heights) == 1 for heights in drawn.values())


def test_zero_stands_on_the_floor_and_the_top_at_the_ceiling():
    low, high = line_of({DAYS[0]: 0, DAYS[5]: 10}, DAYS, DISCOMFORT).dots

    assert (low[1], high[1]) == (HEIGHT - PAD, PAD)


def test_nothing_logged_draws_nothing():
    assert line_of({}, DAYS, DISCOMFORT) is None


@some
@suppose(st.lists(st.floats(0, 200), max_size=9))
def test_a_scale_holds_every_value_and_begins_at_zero(said):
    scale = scale_for("current", "Current", said, "mA")

    assert scale.top >= max(said, default=0)
    assert scale.top % 20 == 0
    assert scale.top > 0
