"""Bouts below the current that evoked an effective contraction, while that test still speaks."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.flag_dose import intensity_below_effective
from homeprogram.calc.flag_facts import EvokedFact, PadsFact, ProgramFact, Setup
from tests.rules.build import DEFAULTS, MONDAY, EpisodeFacts, bout, facts, many

DAY = timedelta(days=1)
SETUP = Setup("stimulator-1", ("lower_inner", "upper_outer"), 65.0)
TEST = EvokedFact(MONDAY, 52.0, ((1, 45.0), (2, 40.0)), SETUP)
NOW = datetime(2030, 3, 14, 9, tzinfo=UTC)


def row(*first_channel: float, **changes) -> list:
    return [
        bout(MONDAY + n * DAY, intensity=((1, value), (2, 40)), **{"setup": SETUP} | changes)
        for n, value in enumerate(first_channel)
    ]


def cards(bouts, evoked=TEST, rules=DEFAULTS, *, now=NOW, pads=None) -> list:
    told = facts(
        now=now,
        bouts=tuple(bouts),
        pads={"left": pads or PadsFact()},
        programs={"left": ProgramFact(running=True, start=MONDAY, evoked=evoked)},
    )
    return list(intensity_below_effective(EpisodeFacts("left", ()), told, rules))


def test_three_bouts_running_below_are_a_card_that_names_both_currents():
    (card,) = cards(row(45, 44, 40, 38))

    assert card.key == ("left", "intensity_below_effective")
    assert card.basis["intensity"] == "channel 1: 38, channel 2: 40"
    assert card.basis["effective"] == "channel 1: 45, channel 2: 40"
    assert (card.basis["bouts"], card.basis["evoked_pct"]) == (3, 52.0)


@pytest.mark.parametrize("values", [(45, 45, 45), (40, 40), (40, 40, 45), (40, 45, 40, 40)])
def test_at_the_current_or_only_twice_is_none(values):
    assert cards(row(*values)) == []


def test_one_channel_below_is_enough_and_an_unknown_one_says_nothing():
    other = [replace(b, intensity=((3, 10),)) for b in row(1, 1, 1)]

    assert cards([replace(b, intensity=((1, 45), (2, 39))) for b in row(1, 1, 1)])
    assert cards(other) == []


@pytest.mark.parametrize(
    "setup",
    [
        replace(SETUP, stimulator="stimulator-2"),
        replace(SETUP, pads=("lower_inner", "upper_inner")),
        replace(SETUP, knee_angle_deg=90.0),
        None,
    ],
)
def test_another_stimulator_pads_angle_or_unit_void_the_test(setup):
    assert cards(row(40, 40, 40, setup=setup)) == []


def test_new_pads_since_the_test_void_it():
    assert cards(row(40, 40, 40), pads=PadsFact(new_on=MONDAY))
    assert cards(row(40, 40, 40), pads=PadsFact(new_on=MONDAY + DAY)) == []


def test_a_test_over_four_weeks_old_is_void():
    bouts = row(*[40] * 20)

    assert cards(bouts, now=NOW + 18 * DAY)
    assert cards(bouts, now=NOW + 19 * DAY) == []


def test_a_current_that_evoked_less_than_the_clinic_counts_is_none():
    weak = replace(TEST, pct=49.9)

    assert cards(row(40, 40, 40), weak) == []
    assert cards(row(40, 40, 40), weak, replace(DEFAULTS, effective_pct=40))
    assert cards(row(40, 40, 40), None) == []


def test_bouts_before_the_test_do_not_count():
    assert cards(row(40, 40, 40), replace(TEST, on=MONDAY + DAY)) == []


@many
@suppose(st.lists(st.integers(30, 60), min_size=1, max_size=10), st.randoms())
def test_order_does_not_matter_and_less_current_takes_no_card_away(values, random):
    bouts = row(*values)
    shuffled = list(bouts)
    random.shuffle(shuffled)
    place = random.randrange(len(bouts))
    lower = replace(bouts[place], intensity=((1, 1), (2, 1)))

    found = cards(bouts)

    assert cards(shuffled) == found
    if found:
        assert cards([*bouts[:place], lower, *bouts[place + 1 :]])
