"""Under 60 % of known-due contractions in seven days."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import DayCounts, DayStatus
from homeprogram.calc.flag_facts import EpisodeFacts
from homeprogram.calc.flags import under_dose
from tests.rules.build import DEFAULTS, due, episode, facts, off, written_days

MONDAY = date(2030, 3, 4)


def cards(pattern: str, rules=DEFAULTS) -> list:
    return list(under_dose(episode(pattern), facts(), rules))


def week(*contractions: int) -> list[Day]:
    """Days of 100 due contractions each, with what was done of them."""
    return [
        Day(
            MONDAY + timedelta(days=n),
            due(1, 100),
            DayCounts(bouts_partial=1, contractions=done),
            DayStatus.PARTLY_DONE,
            over=True,
        )
        for n, done in enumerate(contractions)
    ]


def cards_of(days: list[Day]) -> list:
    return list(under_dose(EpisodeFacts("left", tuple(days)), facts(), DEFAULTS))


def test_under_60_percent_opens_a_card():
    (card,) = cards_of(week(60, 60, 59))

    assert card.key == ("left", "under_dose")
    assert card.basis == {
        "from": "2030-03-04",
        "to": "2030-03-06",
        "contractions": 179,
        "contractions_due": 300,
        "rule": "under 60% of known-due contractions in 7 days",
    }


def test_exactly_60_percent_opens_none():
    assert cards_of(week(60, 60, 60)) == []


@pytest.mark.parametrize(("pattern", "opened"), [("MM", 0), ("MMM", 1), ("MUM", 0), ("MUMM", 1)])
def test_fewer_than_three_known_days_say_nothing_about_a_week(pattern, opened):
    assert len(cards(pattern)) == opened


@pytest.mark.parametrize("pattern", ["DDDDDDD", "DMDMDDD", "UUUUUUU", "PPPPPPP", "OOOOOOO", ""])
def test_unknown_paused_and_off_days_are_no_lack(pattern):
    assert cards(pattern) == []


@pytest.mark.parametrize(("pattern", "opened"), [("NNNNNNN", 1), ("HHHHHHH", 1), ("NDNDNDN", 1)])
def test_what_the_patient_said_not_done_or_did_by_half_is_a_lack(pattern, opened):
    assert len(cards(pattern)) == opened


def test_only_the_last_seven_days_count():
    assert cards("MMMMMMM" + "DDDDDDD") == []
    assert len(cards("DDDDDDD" + "MMMMMMM")) == 1


def test_one_day_of_many_contractions_hides_no_gap():
    days = week(300, 0, 0, 0)

    (card,) = cards_of(days)

    assert card.basis["contractions"] == 100


def test_a_bout_on_an_off_day_makes_up_for_a_missed_one():
    logged = DayCounts(bouts_done=1, contractions=100)
    extra = Day(MONDAY + timedelta(days=3), off(1, 100), logged, DayStatus.NOT_DUE, over=True)

    assert cards_of([*week(100, 0, 0), extra]) == []
    assert len(cards_of(week(100, 0, 0))) == 1


def test_a_day_still_open_is_not_judged():
    today = written_days("H", date(2030, 3, 7), over=False)

    assert cards_of([*written_days("MM"), *today]) == []


@pytest.mark.parametrize(("pattern", "closes"), [("MMM", 5), ("DDMMMMM", 5), ("DDDMMMMMMM", 8)])
def test_the_fact_is_as_old_as_the_first_known_day_of_the_week(pattern, closes):
    (card,) = cards(pattern)

    assert card.fact_at == datetime(2030, 3, closes, 12, tzinfo=UTC)


def test_a_card_closed_after_a_week_needs_a_whole_new_week():
    (first,) = cards("MMMMMMM")
    closed_at = datetime(2030, 3, 11, 13, tzinfo=UTC)

    (six_days_on,) = cards("MMMMMMM" + "MMMMMM")
    (eight_days_on,) = cards("MMMMMMM" + "MMMMMMMM")

    assert first.fact_at < closed_at
    assert six_days_on.fact_at < closed_at
    assert eight_days_on.fact_at > closed_at


def test_the_clinic_sets_share_and_span():
    assert cards("DMDMDMD", replace(DEFAULTS, under_dose_share=0.5)) == []
    assert len(cards("DMDMDMD", replace(DEFAULTS, under_dose_share=0.9))) == 1
    assert cards("MMMDDD", replace(DEFAULTS, under_dose_days=3)) == []
