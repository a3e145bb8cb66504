import pytest

from homeprogram.calc.readings import at_floor, bout_complete, over_ceiling
from tests.rules.build import shared_cases


def said(*values: float) -> list[dict]:
    return [{"channel": n, "value": v, "unit": "mA"} for n, v in enumerate(values, start=1)]


@pytest.mark.parametrize(("given", "expected"), shared_cases("bout_done.json"))
def test_a_bout_is_done_where_the_phone_says_so(given, expected):
    assert bout_complete(given["contractions"], given["prescribed"]) is expected


def test_80_percent_is_exact_for_every_prescription():
    # The fewest that are enough, in whole numbers: no float may tip a bout over.
    fewest = {prescribed: -(-8 * prescribed // 10) for prescribed in range(1, 601)}

    assert [p for p, enough in fewest.items() if not bout_complete(enough, p)] == []
    assert [p for p, enough in fewest.items() if bout_complete(enough - 1, p)] == []


@pytest.mark.parametrize(
    ("intensity", "floors", "expected"),
    [
        (said(30), {1: 30}, True),
        (said(29.5), {1: 30}, False),
        (said(40, 29), {1: 30, 2: 30}, False),
        (said(40, 30), {1: 30, 2: 30}, True),
        (said(40), {}, None),
        (said(), {1: 30}, None),
    ],
)
def test_a_bout_is_at_its_floor_when_every_channel_is(intensity, floors, expected):
    assert at_floor(intensity, floors) is expected


@pytest.mark.parametrize(
    ("intensity", "ceilings", "expected"),
    [
        (said(60), {1: 60}, False),
        (said(60.5), {1: 60}, True),
        (said(10, 61), {1: 60, 2: 60}, True),
        (said(200), {}, False),
        (said(), {1: 60}, False),
    ],
)
def test_one_channel_above_its_ceiling_is_enough(intensity, ceilings, expected):
    assert over_ceiling(intensity, ceilings) is expected
