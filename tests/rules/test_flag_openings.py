"""How many cards a replay counts."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.flag_facts import Card
from homeprogram.calc.flag_replay import openings
from tests.rules.build import many

MONDAY = datetime(2030, 3, 4, tzinfo=UTC)


def look(*cards: tuple[str, int]) -> list[Card]:
    """Cards by reason, with the day of their newest fact."""
    return [Card(reason, "left", MONDAY + timedelta(days=day)) for reason, day in cards]


@pytest.mark.parametrize(
    ("looks", "count"),
    [
        ([look(), look(("missed_days", 1))], 1),
        ([look(("missed_days", 1)), look(("missed_days", 1))], 0),
        ([look(), look(("missed_days", 1)), look(("missed_days", 2))], 1),
        ([look(), look(("missed_days", 1)), look(), look(("missed_days", 3))], 2),
        ([look(), look(("skin_reaction", 1)), look(("skin_reaction", 2))], 2),
        ([look(), look(("skin_reaction", 1)), look(), look(("skin_reaction", 1))], 1),
        ([look(("skin_reaction", 0)), look(("skin_reaction", 0))], 0),
        ([look(), look(("no_contact", 1))], 0),
        ([look(), look(("stop_report", 1))], 0),
        ([], 0),
    ],
)
def test_a_card_counts_when_it_would_have_opened(looks, count):
    assert openings(looks).total() == count


cards = st.tuples(
    st.sampled_from(["missed_days", "skin_reaction", "under_dose"]), st.integers(0, 9)
)


@many
@given(st.lists(st.lists(cards, max_size=3, unique_by=lambda one: one[0]), max_size=8))
def test_no_look_opens_more_than_it_shows(found):
    looks = [look(*one) for one in found]

    assert openings(looks).total() <= sum(len(one) for one in looks[1:])
