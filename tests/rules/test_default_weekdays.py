import pytest

from homeprogram.calc.schedule import default_weekdays


@pytest.mark.parametrize(
    ("days_a_week", "weekdays"),
    [(7, (0, 1, 2, 3, 4, 5, 6)), (5, (0, 1, 2, 3, 4)), (3, (0, 2, 4)), (1, (0,))],
)
def test_usual_counts_have_their_usual_weekdays(days_a_week, weekdays):
    assert default_weekdays(days_a_week) == weekdays


@pytest.mark.parametrize("days_a_week", [1, 2, 3, 4, 5, 6, 7])
def test_any_count_gives_that_many_different_weekdays_in_order(days_a_week):
    weekdays = default_weekdays(days_a_week)

    assert len(set(weekdays)) == days_a_week
    assert list(weekdays) == sorted(weekdays)
    assert set(weekdays) <= {0, 1, 2, 3, 4, 5, 6}


def test_two_days_a_week_leave_two_days_between():
    assert default_weekdays(2) in {(0, 3), (0, 4)}


@pytest.mark.parametrize("days_a_week", [0, 8, -1])
def test_a_week_has_one_to_seven_days(days_a_week):
    with pytest.raises(ValueError, match=f"not {days_a_week}"):
        default_weekdays(days_a_week)
