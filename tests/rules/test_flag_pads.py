"""Pads: uses counted as the phone counts them, and the card that follows."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from homeprogram.calc.flag_facts import PadsFact
from homeprogram.calc.flags import pads_due
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.pads import uses_since, worn_on
from tests.rules.build import DEFAULTS, episode, facts, shared_cases

MARCH_4 = date(2030, 3, 4)


@pytest.mark.parametrize(("given", "expected"), shared_cases("pads.json"))
def test_the_clinic_counts_pads_as_the_phone_does(given, expected):
    new_on = date.fromisoformat(given["new_on"]) if given["new_on"] else None
    uses = uses_since([(date.fromisoformat(d), n) for d, n in given["bouts"]], new_on)
    worn = worn_on(uses, new_on, warn_at=given["warn_at"])

    assert {"uses": len(uses), "worn_on": worn.isoformat() if worn else None} == expected


def cards(pads: PadsFact, rules=DEFAULTS) -> list:
    return list(pads_due(episode("D"), facts(pads={"left": pads}), rules))


def one_a_day(count: int, first: date = MARCH_4) -> tuple[date, ...]:
    return tuple(first + timedelta(days=n) for n in range(count))


def test_a_card_opens_five_uses_before_the_end_and_not_before():
    assert cards(PadsFact(one_a_day(19), MARCH_4)) == []

    (card,) = cards(PadsFact(one_a_day(20), MARCH_4))

    assert card.key == ("left", "pads_due")
    assert card.fact_at == datetime(2030, 3, 23, tzinfo=UTC)
    assert card.basis["uses"] == 20


def test_going_on_with_the_same_set_is_no_news():
    first = cards(PadsFact(one_a_day(20), MARCH_4))[0]
    later = cards(PadsFact(one_a_day(27), MARCH_4))[0]

    assert later.fact_at == first.fact_at


def test_of_pads_never_told_new_another_set_is_due_after_as_many_bouts_again():
    days = [cards(PadsFact(one_a_day(count)))[0].fact_at.date() for count in (20, 44, 45, 69, 70)]

    assert days[0] == days[1] < days[2] == days[3] < days[4]


def test_a_set_never_told_new_is_news_once_a_week():
    moments = {
        cards(PadsFact(one_a_day(24, MARCH_4 + timedelta(days=n))))[0].fact_at for n in range(7)
    }

    assert len(moments) == 2


def test_pads_that_do_not_stick_are_a_card_at_once():
    told = datetime(2030, 3, 30, 8, tzinfo=UTC)

    (card,) = cards(PadsFact(wont_stick_at=told))

    assert card.fact_at == told
    assert card.basis["wont_stick"] is True


def test_the_clinic_sets_how_long_a_set_lasts():
    assert cards(PadsFact(one_a_day(8), MARCH_4), replace(DEFAULTS, pads_uses=10, pads_warn=2))
    with pytest.raises(ValueError, match="pads_warn"):
        FlagRules.of_clinic({"pads_uses": 5, "pads_warn": 5})
