import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from homeprogram.calc.trend import student_t_95, trend

TESTS = [(0, 1.10), (14, 1.22), (30, 1.31), (43, 1.30), (60, 1.52)]


def test_the_line_agrees_with_scipy():
    found = trend(TESTS)
    days, values = zip(*TESTS, strict=True)
    line = stats.linregress(days, values)
    t = stats.t.ppf(0.975, len(days) - 2)

    assert found.per_week == pytest.approx(7 * line.slope)
    assert found.per_week_low == pytest.approx(7 * (line.slope - t * line.stderr), rel=1e-4)
    assert found.per_week_high == pytest.approx(7 * (line.slope + t * line.stderr), rel=1e-4)


@given(
    st.lists(
        st.tuples(st.integers(0, 300), st.floats(0.2, 4)),
        min_size=3,
        max_size=45,
        unique_by=lambda test: test[0],
    )
)
def test_the_band_agrees_with_the_textbook_in_numpy(tests):
    """Design-matrix form of the confidence band, t from SciPy."""
    found = trend(tests)
    x, y = np.array(tests, dtype=float).T
    design = np.column_stack([np.ones_like(x), x])
    beta, *_ = np.linalg.lstsq(design, y, rcond=None)
    variance = np.sum((y - design @ beta) ** 2) / (len(x) - 2)
    points = np.column_stack([np.ones_like(x), np.sort(x)])
    covariance = np.linalg.inv(design.T @ design) * variance
    half = stats.t.ppf(0.975, len(x) - 2) * np.sqrt(
        np.einsum("ij,jk,ik->i", points, covariance, points)
    )

    assert [p.fitted for p in found.points] == pytest.approx(points @ beta, abs=1e-6)
    widths = [(p.high - p.low) / 2 for p in found.points]
    assert widths == pytest.approx(half, rel=1e-3, abs=1e-6)


@pytest.mark.parametrize("freedom", [1, 2, 3, 10, 29, 30, 31, 45, 200])
def test_students_t_agrees_with_scipy(freedom):
    assert student_t_95(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), abs=1e-4)


@pytest.mark.parametrize("tests", [[], TESTS[:1], TESTS[:2], [(3, 1.0)] * 4])
def test_too_few_tests_have_no_trend(tests):
    assert trend(tests) is None


def test_a_steady_rise_is_sure_and_noise_is_not():
    assert trend(TESTS).sure
    assert not trend([(0, 1.2), (10, 1.5), (20, 1.1), (30, 1.4)]).sure


def test_the_band_is_drawn_only_where_tests_were():
    assert [point.day for point in trend(TESTS).points] == [0, 14, 30, 43, 60]
