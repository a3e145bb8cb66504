"""Two due days running or three of the last seven, behind the watermark only."""

from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.flags import missed_days
from homeprogram.calc.limits import FlagRules
from tests.rules.build import DEFAULTS, EpisodeFacts, episode, facts, many, written_days


def cards(pattern: str, rules: FlagRules = DEFAULTS, **changes) -> list:
    return list(missed_days(episode(pattern), facts(**changes), rules))


def days(pattern: str, rules: FlagRules = DEFAULTS) -> list[str]:
    (card,) = cards(pattern, rules)
    return card.basis["days"]


@pytest.mark.parametrize(
    "pattern",
    [
        "MM",
        "DDDMM",
        "MPM",
        "MOM",
        "MOOPM",
        "MMU",
        "MMUUUUUUUU",
        "MDMDM",
        "MDDMDDM",
        "MUDMUDM",
        "DDMMPPPP",
    ],
)
def test_a_pattern_of_missed_days_opens_a_card(pattern):
    assert [card.reason for card in cards(pattern)] == ["missed_days"]


@pytest.mark.parametrize(
    "pattern",
    [
        "",
        "M",
        "MD",
        "MDM",
        "DDDDDDD",
        "MDDDMDDD",
        "MDDDMDDDM",
        "MUM",
        "UUUUUUU",
        "MUUUUUM",
        "NNNNNNN",
        "HHHHHHH",
        "MNMN",
        "PPPPPPP",
        "OOOOOOO",
    ],
)
def test_less_opens_none(pattern):
    assert cards(pattern) == []


@pytest.mark.parametrize("back", ["D", "H", "N"])
def test_a_run_is_over_once_the_patient_is_heard_of_again(back):
    assert cards("MM" + back) == []


def test_three_of_seven_outlast_the_return():
    assert days("MMDM") == ["2030-03-04", "2030-03-05", "2030-03-07"]


def test_a_day_still_open_is_not_judged():
    closed, still_open = written_days("M"), written_days("M", date(2030, 3, 5), over=False)

    patient = EpisodeFacts("left", (*closed, *still_open))

    assert list(missed_days(patient, facts(), DEFAULTS)) == []


def test_only_the_last_seven_due_days_count_and_off_days_are_none():
    assert cards("MDOODODOMODDDM") == []
    assert days("MDOODOMODDM") == ["2030-03-04", "2030-03-10", "2030-03-14"]


# --- how new the fact is ------------------------------------------------------------


@pytest.mark.parametrize(
    ("pattern", "first_day_closes"),
    [
        ("MM", 5),
        ("MMM", 6),
        ("MMMM", 7),
        ("MMUUU", 5),
        ("MDMDM", 5),
        ("MDMDMDM", 7),
        ("MMDDDDDD", None),
    ],
)
def test_the_fact_is_as_old_as_the_first_day_of_its_newest_pattern(pattern, first_day_closes):
    told = [card.fact_at for card in cards(pattern)]

    assert told == [
        datetime(2030, 3, day, 12, tzinfo=UTC) for day in [first_day_closes] if day is not None
    ]


def reopens(closed_after: str, later: str) -> bool:
    """Whether a card closed at the end of one pattern opens again in a longer one."""
    closed_at = written_days(closed_after)[-1].day
    (card,) = cards(later)
    return card.fact_at > datetime(
        closed_at.year, closed_at.month, closed_at.day + 1, 13, tzinfo=UTC
    )


@pytest.mark.parametrize(
    ("closed_after", "later", "again"),
    [
        ("MM", "MMM", False),
        ("MM", "MMMM", True),
        ("MM", "MMUM", False),
        ("MM", "MMDM", False),
        ("MM", "MMDMM", True),
        ("MDMDM", "MDMDMDM", False),
        ("MDMDM", "MDMDMDMDMDM", True),
    ],
)
def test_a_closed_card_needs_a_whole_new_pattern(closed_after, later, again):
    assert reopens(closed_after, later) is again


def test_the_fact_is_dated_where_the_patient_lives():
    (card,) = cards("MM", zone=ZoneInfo("Pacific/Kiritimati"))

    assert card.fact_at == datetime(2030, 3, 4, 22, tzinfo=UTC)


# --- the clinic's own thresholds ------------------------------------------------------


@pytest.mark.parametrize(
    ("pattern", "rules", "expected"),
    [
        ("MM", replace(DEFAULTS, missed_in_a_row=3), 0),
        ("MMM", replace(DEFAULTS, missed_in_a_row=3, missed_of_last=7), 1),
        ("M", replace(DEFAULTS, missed_in_a_row=1), 1),
        ("MDMDDDD", replace(DEFAULTS, missed_of_last=2), 1),
        ("MDDDDDMDM", replace(DEFAULTS, missed_window=9), 1),
    ],
)
def test_the_clinic_sets_the_pattern(pattern, rules, expected):
    assert len(cards(pattern, rules)) == expected


def test_the_card_says_which_days_and_which_rule():
    (card,) = cards("DMM")

    assert card.key == ("left", "missed_days")
    assert card.basis == {
        "days": ["2030-03-05", "2030-03-06"],
        "rule": "2 due days in a row, or 3 of the last 7",
    }


# --- whatever the pattern ----------------------------------------------------------------

patterns = st.text("MDUNPOH", max_size=28)


@many
@suppose(patterns)
def test_no_card_ever_names_a_day_that_is_not_known_to_be_missed(pattern):
    missed = {d.day.isoformat() for d in written_days(pattern) if d.status == "missed"}

    named = {day for card in cards(pattern) for day in card.basis["days"]}

    assert named <= missed


@many
@suppose(patterns)
def test_an_unknown_day_is_no_worse_than_a_done_one(pattern):
    # Silence on the phone may keep a card; it must never open one.
    assert len(cards(pattern.replace("M", "U"))) == 0


@many
@suppose(patterns)
def test_off_days_and_pauses_change_nothing(pattern):
    bare = pattern.replace("O", "").replace("P", "")

    assert len(cards(pattern)) == len(cards(bare))


@many
@suppose(patterns)
def test_the_fact_is_never_later_than_its_last_missed_day(pattern):
    last = [d.day for d in written_days(pattern) if d.status == "missed"][-1:]
    told = [card.fact_at.date() for card in cards(pattern)]

    assert [day for day in told if day > date.fromordinal(last[0].toordinal() + 1)] == []
