"""Entries that will never come: how they are written down, and the card they raise."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.flag_facts import LossFact
from homeprogram.calc.flags import lost_entries
from homeprogram.calc.losses import numbers_lost, spans_of, was_told
from tests.rules.build import DEFAULTS, facts, many

NOW = datetime(2030, 4, 1, 9, tzinfo=UTC)
DAY = timedelta(days=1)


def loss(count: int, days_ago: int) -> LossFact:
    told = NOW - days_ago * DAY
    return LossFact(count, told - 2 * DAY, told, told)


def cards(*losses: LossFact) -> list:
    return list(lost_entries(facts(now=NOW, losses=losses), DEFAULTS))


def test_neighbouring_numbers_are_one_span():
    assert spans_of([9, 4, 3, 5, 4]) == [[3, 5], [9, 9]]


@many
@given(st.sets(st.integers(1, 400)))
def test_spans_name_exactly_the_numbers_they_were_made_of(numbers):
    assert numbers_lost([{"numbers": spans_of(numbers)}]) == numbers


def test_a_clearing_is_known_by_the_moment_the_phone_gives_it():
    losses = [{"cleared_ms": 17, "numbers": []}]

    assert (was_told(losses, 17), was_told(losses, 18)) == (True, False)


def test_lost_entries_raise_one_card_as_new_as_the_newest_loss():
    (card,) = cards(loss(2, 9), loss(3, 4))

    assert card.key == (None, "lost_entries")
    assert card.fact_at == NOW - 4 * DAY
    assert (card.basis["numbered"], card.basis["cleared"]) == (5, False)
    assert card.basis["since"] == (NOW - 11 * DAY).isoformat()
    assert card.basis["until"] == (NOW - 4 * DAY).isoformat()


def test_a_cleared_log_says_so_because_nobody_can_count_it():
    (card,) = cards(loss(0, 1), loss(2, 1))

    assert card.basis["cleared"] is True


def test_a_loss_older_than_the_window_raises_nothing_new():
    assert cards(loss(2, DEFAULTS.window_days + 1)) == []


def test_without_a_loss_there_is_no_card():
    assert cards() == []
