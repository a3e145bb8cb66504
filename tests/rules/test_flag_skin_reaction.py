"""Skin: a mark that lasts, raised or broken at any moment, or itch twice running; never muted."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.flag_facts import EpisodeFacts, SkinFact
from homeprogram.calc.flags import skin_reaction, wanted_cards
from tests.rules.build import DEFAULTS, facts, many

FIRST = datetime(2030, 3, 4, 20, tzinfo=UTC)


def check(grade: int = 0, moment: str = "after", *, n: int = 1, itchy: bool = False, **changes):
    values = {
        "entry_id": f"check-{n}",
        "episode_id": "left",
        "day": "2030-03-04",
        "moment": moment,
        "grade": grade,
        "itchy": itchy,
        "received_at": FIRST + timedelta(hours=n),
    }
    return SkinFact(**values | changes)


def cards(*checks: SkinFact, rules=DEFAULTS) -> list:
    return list(skin_reaction("left", checks, rules))


@pytest.mark.parametrize(
    ("moment", "grade", "opened"),
    [
        ("after", 1, 0),
        ("after", 2, 0),
        ("after", 3, 1),
        ("after", 4, 1),
        ("before", 1, 0),
        ("before", 2, 1),
        ("before", 4, 1),
        ("next_morning", 1, 0),
        ("next_morning", 2, 1),
        ("next_morning", 3, 1),
    ],
)
def test_a_later_moment_counts_from_grade_2_and_any_from_3(moment, grade, opened):
    assert len(cards(check(grade, moment))) == opened


@pytest.mark.parametrize(
    ("itches", "opened"),
    [([True], 0), ([True, True], 1), ([True, False, True], 0), ([False, True, True], 1)],
)
def test_itch_counts_at_the_second_check_running(itches, opened):
    checks = [check(itchy=itchy, n=n) for n, itchy in enumerate(itches)]

    assert len(cards(*checks)) == opened


def test_a_corrected_check_that_itches_is_one_check():
    corrected = check(itchy=True, n=2, entry_id="correction", check_id="check-1")

    assert cards(check(itchy=True, n=1), corrected) == []


def test_a_correction_that_comes_between_breaks_no_run_of_itch():
    between = check(itchy=False, n=2, entry_id="correction", check_id="check-0")

    (card,) = cards(check(n=0), check(itchy=True, n=1), between, check(itchy=True, n=3))

    assert card.basis["entries"] == ["check-1", "check-3"]


def test_itch_that_a_correction_adds_is_a_new_fact():
    added = check(itchy=True, n=3, entry_id="correction", check_id="check-1")

    (card,) = cards(check(n=1), check(itchy=True, n=2), added)

    assert card.fact_at == added.received_at


def test_no_check_is_no_card():
    assert cards() == []


def test_the_other_limb_is_not_meant():
    assert cards(check(4, episode_id="right")) == []


def test_two_limbs_have_two_cards():
    both = facts(
        episodes=(EpisodeFacts("left", ()), EpisodeFacts("right", ())),
        skin=(check(3), check(4, n=2, episode_id="right")),
    )

    assert [card.key for card in wanted_cards(both, DEFAULTS)] == [
        ("left", "skin_reaction"),
        ("right", "skin_reaction"),
    ]


def test_the_fact_is_the_newest_reaction_and_the_grade_the_worst():
    (card,) = cards(check(4, n=1), check(2, "before", n=2), check(0, n=3))

    assert card.fact_at == FIRST + timedelta(hours=2)
    assert card.basis["grade"] == 4
    assert card.basis["moment"] == "before"
    assert card.basis["entries"] == ["check-1", "check-2"]


def test_a_quiet_check_after_a_closing_is_no_new_fact():
    closed_at = FIRST + timedelta(hours=2)

    (card,) = cards(check(3, n=1), check(1, n=3))

    assert card.fact_at < closed_at


def test_a_second_reaction_after_a_closing_is_a_new_fact():
    closed_at = FIRST + timedelta(hours=2)

    (card,) = cards(check(3, n=1), check(3, n=3))

    assert card.fact_at > closed_at


def test_the_clinic_may_look_more_closely():
    assert len(cards(check(1, "before"), rules=replace(DEFAULTS, skin_later_grade=1))) == 1
    assert len(cards(check(2), rules=replace(DEFAULTS, skin_any_grade=2))) == 1
    assert len(cards(check(itchy=True), rules=replace(DEFAULTS, itch_in_a_row=1))) == 1


moments = st.sampled_from(["before", "after", "next_morning"])
histories = st.lists(st.tuples(st.integers(0, 4), moments, st.booleans()), max_size=12)


def checks_of(history: list) -> list[SkinFact]:
    return [check(g, m, n=n, itchy=i) for n, (g, m, i) in enumerate(history)]


@many
@suppose(histories, histories)
def test_nothing_told_later_takes_a_reaction_back(history, later):
    """The ratchet: as first written or as corrected, more checks never hide one."""
    before = cards(*checks_of(history))
    after = cards(*checks_of([*history, *later]))

    assert len(after) >= len(before)
    assert [c.fact_at for c in after] >= [c.fact_at for c in before]
    assert [c.basis["grade"] for c in after] >= [c.basis["grade"] for c in before]


@many
@suppose(histories, st.integers(0, 12), moments, st.sampled_from([3, 4]))
def test_a_raised_or_broken_spot_is_never_lost_among_other_checks(history, place, moment, grade):
    told = checks_of(history)
    told.insert(place, check(grade, moment, n=99))

    (card,) = cards(*told)

    assert "check-99" in card.basis["entries"]
    assert card.basis["grade"] >= grade
