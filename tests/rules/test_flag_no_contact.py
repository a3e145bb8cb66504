"""48 hours without word from the phone and a due day over; never a blame on the person."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import DayCounts, day_status
from homeprogram.calc.days import closes_at
from homeprogram.calc.flag_facts import EpisodeFacts
from homeprogram.calc.flags import no_contact
from homeprogram.calc.limits import FlagRules
from tests.rules.build import DEFAULTS, due, facts, off

MONDAY = date(2030, 3, 4)


def moment(day: int, hour: int = 0) -> datetime:
    """A moment of March 2030 in UTC; the 4th is a Monday."""
    return datetime(2030, 3, day, hour, tzinfo=UTC)


def days(weekdays: set[int], now: datetime, heard: datetime | None, zone: ZoneInfo) -> tuple:
    """From Monday the 4th on, due on these weekdays, nothing ever logged."""
    span = [MONDAY + timedelta(days=n) for n in range((now.date() - MONDAY).days + 1)]
    asked = [due() if day.weekday() in weekdays else off() for day in span]
    return tuple(
        Day(
            day,
            owed,
            DayCounts(),
            day_status(day=day, due=owed, logged=DayCounts(), watermark=heard, now=now, zone=zone),
            over=now >= closes_at(day, zone),
        )
        for day, owed in zip(span, asked, strict=True)
    )


def cards(now, heard, weekdays=frozenset(range(7)), rules=DEFAULTS, zone="UTC") -> list:
    zone = ZoneInfo(zone)
    episode = EpisodeFacts("left", days(weekdays, now, heard, zone))
    told = facts(now=now, watermark=heard, zone=zone, episodes=(episode,))
    return list(no_contact(told, rules))


@pytest.mark.parametrize(
    ("now", "opened"),
    [
        (moment(5, 12), 0),
        (moment(6, 17), 0),
        (moment(6, 18), 1),
        (moment(6, 20), 1),
        (moment(9), 1),
    ],
)
def test_48_hours_after_the_last_claim_with_a_due_day_over(now, opened):
    assert len(cards(now, heard=moment(4, 18))) == opened


@pytest.mark.parametrize(
    ("weekdays", "now", "opened"),
    [
        # Last heard Monday noon a week on; nothing due until Friday the 15th.
        ({4}, moment(15, 23), 0),
        ({4}, moment(16, 11), 0),
        ({4}, moment(16, 23), 0),
        ({4}, moment(17, 0), 1),
        ({4}, moment(18), 1),
        (set(), moment(28), 0),
    ],
)
def test_days_on_which_nothing_was_due_are_no_silence(weekdays, now, opened):
    assert len(cards(now, heard=moment(11, 12), weekdays=weekdays)) == opened


@pytest.mark.parametrize("heard", [moment(5, 12), moment(6, 0), moment(6, 11)])
def test_a_claim_that_covers_every_closed_day_is_contact(heard):
    assert cards(moment(6, 11), heard=heard) == []


@pytest.mark.parametrize(("now", "opened"), [(moment(5, 23), 0), (moment(6, 0), 1)])
def test_a_phone_never_heard_counts_from_the_first_due_day(now, opened):
    assert len(cards(now, heard=None)) == opened


def test_nothing_due_yet_is_no_silence():
    assert list(no_contact(facts(watermark=None), DEFAULTS)) == []


def test_the_card_is_about_the_phone_and_says_since_when():
    (card,) = cards(moment(7, 13), heard=moment(4, 18))

    assert card.key == (None, "no_contact")
    assert card.basis == {
        "since": "2030-03-04T18:00:00+00:00",
        "due_days_unheard": 3,
        "rule": "48 hours without word from the phone and a due day over",
    }


def test_two_limbs_of_one_silent_phone_are_one_card():
    now, heard = moment(7, 13), moment(4, 18)
    both = tuple(
        EpisodeFacts(limb, days(set(range(7)), now, heard, ZoneInfo("UTC")))
        for limb in ("left", "right")
    )

    (card,) = no_contact(facts(now=now, watermark=heard, episodes=both), DEFAULTS)

    assert card.basis["due_days_unheard"] == 3


@pytest.mark.parametrize(
    ("now", "fact_at"),
    [
        (moment(6, 18), moment(5, 12)),
        (moment(12, 11), moment(5, 12)),
        (moment(12, 12), moment(12, 12)),
        (moment(19, 11), moment(12, 12)),
        (moment(19, 12), moment(19, 12)),
    ],
)
def test_a_silence_that_goes_on_is_a_new_fact_every_week(now, fact_at):
    (card,) = cards(now, heard=moment(4, 18))

    assert card.fact_at == fact_at


@pytest.mark.parametrize(("now", "opened"), [(moment(11, 11), 0), (moment(11, 12), 1)])
def test_48_hours_are_hours_though_the_clock_changes_between(now, opened):
    # In New York the clock went from 2 to 3 in the night to Sunday the 10th.
    assert len(cards(now, heard=moment(9, 12), zone="America/New_York")) == opened


def test_hours_are_hours_in_whatever_zone_now_is_told():
    zone = ZoneInfo("America/New_York")
    # From midnight at the start of Saturday the 9th: 48 hours are over at 1:00 on
    # Monday the 11th, because one hour of Sunday never was.
    saturdays = {5}
    early = datetime(2030, 3, 11, 0, 59, tzinfo=zone)
    late = datetime(2030, 3, 11, 1, 0, tzinfo=zone)

    assert cards(early, None, saturdays, zone="America/New_York") == []
    assert len(cards(late, None, saturdays, zone="America/New_York")) == 1


def test_the_clinic_sets_the_hours():
    rules = FlagRules(no_contact_h=24)

    assert len(cards(moment(5, 18), heard=moment(4, 18), rules=rules)) == 1
    assert cards(moment(5, 17), heard=moment(4, 18), rules=rules) == []
