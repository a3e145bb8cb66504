"""How bouts felt and how many there were: worse than usual, too much, above the ceiling."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.flag_bouts import discomfort_worse, knee_pain_worse, over_ceiling, over_use
from tests.rules.build import DEFAULTS, MONDAY, EpisodeFacts, bout, facts, many, written_days

NOW = datetime(2030, 3, 14, 9, tzinfo=UTC)  # ten days after MONDAY
FELT = {"knee_pain_worse": (knee_pain_worse, "pain_after")} | {
    "discomfort_worse": (discomfort_worse, "discomfort")
}
felt = pytest.mark.parametrize("reason", FELT)


def day(number: int):
    return MONDAY + timedelta(days=number)


def cards(rule, bouts, rules=DEFAULTS, *, now=NOW, pattern="D" * 11) -> list:
    limb = EpisodeFacts("left", written_days(pattern))
    return list(rule(limb, facts(now=now, bouts=tuple(bouts)), rules))


def said(reason: str, values, **changes) -> list:
    """One bout a day from MONDAY on; None = a day without one."""
    name = FELT[reason][1]
    return [bout(day(n), **{name: v} | changes) for n, v in enumerate(values) if v is not None]


@felt
def test_two_bouts_well_above_the_usual_are_a_card(reason):
    (card,) = cards(FELT[reason][0], said(reason, [3, 3, 3, 3, 3, 3, 5, 5]))

    assert card.key == ("left", reason)
    assert (card.basis["bouts"], card.basis["highest"], card.basis["day"]) == (2, 5, "2030-03-11")
    assert card.fact_at == datetime(2030, 3, 11, 9, 30, tzinfo=UTC)


@felt
@pytest.mark.parametrize("values", [[3] * 7 + [5], [3, 3, 3, 3, 4, 4, 4, 4], [5, 5], [3, 3, 5, 5]])
def test_one_bout_a_small_rise_or_no_usual_is_none(reason, values):
    assert cards(FELT[reason][0], said(reason, values)) == []


@felt
def test_the_card_is_gone_once_its_bouts_are_a_week_old(reason):
    bouts = said(reason, [3, 3, 3, 3, 3, 3, 5, 5])

    assert cards(FELT[reason][0], bouts, now=NOW + timedelta(days=2))
    assert cards(FELT[reason][0], bouts, now=NOW + timedelta(days=4)) == []


@felt
def test_the_other_limb_is_not_compared(reason):
    bouts = said(reason, [3, 3, 3, 3, 3, 3, 5, 5], episode_id="right")

    assert cards(FELT[reason][0], bouts) == []


@felt
def test_two_worse_bouts_with_a_usual_one_between_are_none(reason):
    assert cards(FELT[reason][0], said(reason, [3, 3, 3, 3, 3, 5, 3, 5])) == []


def test_high_knee_pain_needs_no_usual_and_says_which_half_of_the_rule_it_is():
    (card,) = cards(knee_pain_worse, [bout(day(9), pain_after=7)])

    assert card.basis["what"] == ["high"]
    assert cards(knee_pain_worse, [bout(day(9), pain_after=6)]) == []


def test_a_newer_worse_bout_is_a_newer_fact():
    bouts = said("discomfort_worse", [3, 3, 3, 3, 3, 3, 5, 5])
    first = cards(discomfort_worse, bouts)[0]

    later = cards(discomfort_worse, [*bouts, bout(day(8), discomfort=6)])[0]

    assert later.fact_at > first.fact_at


rating_lists = st.lists(st.none() | st.integers(0, 10), min_size=1, max_size=11)


@felt
@many
@suppose(values=rating_lists, random=st.randoms())
def test_the_order_of_arrival_does_not_matter(reason, values, random):
    bouts = said(reason, values)
    shuffled = list(bouts)
    random.shuffle(shuffled)

    assert cards(FELT[reason][0], shuffled) == cards(FELT[reason][0], bouts)


@felt
@many
@suppose(values=rating_lists, more=st.integers(1, 10))
def test_a_newest_bout_that_was_worse_takes_no_card_away(reason, values, more):
    bouts = said(reason, [*values[:10], 4])
    name = FELT[reason][1]
    last = replace(bouts[-1], **{name: min(10, 4 + more)})

    if cards(FELT[reason][0], bouts):
        assert cards(FELT[reason][0], [*bouts[:-1], last])


def test_one_bout_above_the_ceiling_is_a_card_for_a_week():
    bouts = [bout(day(5)), bout(day(6), over_ceiling=True)]

    (card,) = cards(over_ceiling, bouts)

    assert (card.basis["entries"], card.basis["day"]) == (["2030-03-10-1"], "2030-03-10")
    assert cards(over_ceiling, bouts, now=NOW + timedelta(days=2))
    assert cards(over_ceiling, bouts, now=NOW + timedelta(days=3)) == []
    assert cards(over_ceiling, [bouts[0]]) == []


def test_two_bouts_more_than_a_day_asks_are_a_card():
    (card,) = cards(over_use, [bout(day(6), n) for n in (1, 2, 3)])

    assert (card.basis["bouts_more"], card.basis["days"]) == (2, ["2030-03-10"])


@pytest.mark.parametrize(
    ("bouts", "pattern"),
    [
        ([bout(day(6), n) for n in (1, 2)], "D" * 11),
        ([bout(day(n)) for n in range(4, 11)], "O" * 11),  # made up on off days
        ([bout(day(6), n, complete=n == 1) for n in (1, 2, 3)], "D" * 11),  # begun again
        ([bout(day(2), n) for n in (1, 2, 3)], "D" * 11),  # long ago
    ],
)
def test_one_more_made_up_begun_again_or_long_ago_is_no_over_use(bouts, pattern):
    assert cards(over_use, bouts, pattern=pattern) == []


@many
@suppose(st.lists(st.integers(0, 4), min_size=7, max_size=11))
def test_a_bout_more_takes_no_over_use_away(counts):
    bouts = [bout(day(d), n) for d, count in enumerate(counts) for n in range(count)]
    more = [*bouts, bout(day(10), 9)]

    found, after = cards(over_use, bouts), cards(over_use, more)

    if found:
        assert after[0].basis["bouts_more"] >= found[0].basis["bouts_more"]


def test_the_clinics_own_thresholds_count():
    rules = replace(DEFAULTS, worse_by=3, pain_any=5, over_use_bouts=3, over_ceiling_bouts=2)

    assert cards(discomfort_worse, said("discomfort_worse", [3] * 6 + [5, 5]), rules) == []
    assert cards(knee_pain_worse, [bout(day(9), pain_after=5)], rules)
    assert cards(over_use, [bout(day(6), n) for n in (1, 2, 3)], rules) == []
    assert cards(over_ceiling, [bout(day(6), over_ceiling=True)], rules) == []
