"""A dose may be looked at again: calm bouts at a flat current, or a stimulator at its limit."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.flag_dose import dose_review_due, stimulator_at_limit
from homeprogram.calc.flag_facts import MorningFact, ProgramFact, SkinFact
from tests.rules.build import DEFAULTS, MONDAY, EpisodeFacts, bout, facts, many

RUNNING = ProgramFact(running=True, start=MONDAY, revision_id="revision-1")
LIMB = EpisodeFacts("left", ())


def row(count: int, **changes) -> list:
    values = {"discomfort": 2} | changes
    return [bout(MONDAY + timedelta(days=n), **values) for n in range(count)]


def told(bouts, program=RUNNING, **more):
    return facts(bouts=tuple(bouts), programs={"left": program}, **more)


def review(bouts, rules=DEFAULTS, **more) -> list:
    return list(dose_review_due(LIMB, told(bouts, **more), rules))


def at_limit(bouts, program=RUNNING) -> list:
    return list(stimulator_at_limit(LIMB, told(bouts, program), DEFAULTS))


def test_six_calm_bouts_at_a_flat_current_are_a_card_and_five_are_not():
    (card,) = review(row(6))

    assert card.key == ("left", "dose_review_due")
    assert (card.basis["bouts"], card.basis["highest"]) == (6, 2)
    assert card.basis["intensity"] == "channel 1: 40, channel 2: 36"
    assert review(row(5)) == []


@pytest.mark.parametrize(
    "one",
    [
        {"discomfort": 4},
        {"pain_after": 4},
        {"pain_before": 4},
        {"complete": False},
        {"ended_early": True},
        {"intensity": ((1, 43), (2, 36))},
        {"intensity": ((1, 40),)},
        {"intensity": ()},
        {"revision_id": "revision-0"},
    ],
)
def test_one_bout_that_differs_starts_the_row_anew(one):
    bouts = row(6)

    assert review([*bouts[:2], replace(bouts[2], **one), *bouts[3:]]) == []


def test_a_turn_of_the_dial_within_five_percent_is_flat():
    bouts = row(6)

    assert review([replace(bouts[0], intensity=((1, 41), (2, 36))), *bouts[1:]])


@pytest.mark.parametrize(
    "trouble",
    [
        {"mornings": (MorningFact("left", date(2030, 3, 6), "some", 1),)},
        {"mornings": (MorningFact(None, date(2030, 3, 6), "none", 4),)},
        {"skin": (SkinFact("e", "left", "2030-03-06", "after", 2, False, datetime.now(tz=UTC)),)},
    ],
)
def test_swelling_pain_next_morning_or_a_mark_start_the_row_anew(trouble):
    assert review(row(6), **trouble) == []
    assert review(row(9), **trouble)  # six since


def test_a_slight_even_change_of_skin_and_the_other_limb_do_not_matter():
    slight = SkinFact("e", "left", "2030-03-06", "after", 1, False, datetime.now(tz=UTC))
    other = MorningFact("right", date(2030, 3, 6), "much", 8)

    assert review(row(6), skin=(slight,), mornings=(other,))


def test_nothing_is_due_once_a_newer_dose_is_written_or_the_program_ended():
    assert review(row(6), program=replace(RUNNING, revision_id="revision-2")) == []
    assert review(row(6), program=ProgramFact()) == []


def test_after_a_closing_six_whole_new_bouts_are_needed():
    closed_at = row(6)[-1].said_at + timedelta(hours=1)
    facts_at = {count: review(row(count))[0].fact_at for count in range(6, 13)}

    assert all(facts_at[count] < closed_at for count in range(6, 12))
    assert facts_at[12] > closed_at


def test_a_stimulator_at_its_limit_stands_apart():
    bouts = row(6, at_limit=True)

    assert review(bouts) == []
    (card,) = at_limit(bouts)
    assert (card.reason, card.basis["bouts"]) == ("stimulator_at_limit", 6)


def test_three_bouts_running_at_the_limit_are_a_card_and_two_are_not():
    assert at_limit([*row(3), *[replace(b, at_limit=True) for b in row(6)[3:]]])
    assert at_limit([*row(4), *[replace(b, at_limit=True) for b in row(6)[4:]]]) == []
    assert at_limit([*[replace(b, at_limit=True) for b in row(3)], row(4)[3]]) == []
    assert at_limit(row(3, at_limit=True), ProgramFact()) == []


@many
@suppose(st.lists(st.integers(0, 5), max_size=20), st.randoms())
def test_the_order_of_arrival_does_not_matter(ratings, random):
    bouts = [bout(MONDAY + timedelta(days=n), discomfort=d) for n, d in enumerate(ratings)]
    shuffled = list(bouts)
    random.shuffle(shuffled)

    assert review(shuffled) == review(bouts)


@many
@suppose(st.lists(st.integers(0, 5), min_size=1, max_size=20), st.data())
def test_a_bout_of_less_discomfort_takes_no_card_away(ratings, data):
    bouts = [bout(MONDAY + timedelta(days=n), discomfort=d) for n, d in enumerate(ratings)]
    place = data.draw(st.integers(0, len(bouts) - 1))
    lower = replace(bouts[place], discomfort=0)

    if review(bouts):
        assert review([*bouts[:place], lower, *bouts[place + 1 :]])
