"""What one episode's day counts."""

import pytest

from homeprogram.calc.readings import Dose, Logged, day_counts, readings
from tests.entries import BOUT, skin
from tests.rules.log import bout, entry

DOSES = {"revision-1": Dose(15, {1: 30}, {1: 60})}


def counts(*entries: Logged):
    return day_counts(readings(entries), DOSES)


def test_an_empty_day_counts_nothing():
    assert counts() == day_counts([], DOSES)
    assert (counts().bouts_done, counts().minutes, counts().excused) == (0, 0, False)


def test_a_day_counts_done_and_partial_bouts_apart():
    day = counts(bout("a", contractions=12), bout("b", 2, contractions=11), bout("c", 3))

    assert (day.bouts_done, day.bouts_partial) == (2, 1)
    assert (day.contractions, day.minutes) == (38, 45)


def test_a_bout_counts_at_its_floor_only_when_the_intensity_reached_it():
    low = [{"channel": 1, "value": 29, "unit": "mA"}]

    day = counts(bout("a"), bout("b", 2, intensity=low), bout("c", 3, intensity=[]))

    assert day.at_floor == 1


def test_each_not_done_counts():
    said = {"ordinal": 1, "reason": "ill"}

    day = counts(entry("a", "not_done", said), entry("b", "not_done", said, 2))

    assert day.not_done == 2


@pytest.mark.parametrize(("moment", "excused"), [("before", True), ("after", False)])
def test_a_mark_before_the_bout_excuses_the_day(moment, excused):
    check = skin(moment, colour="slight", pattern="even")

    assert counts(entry("a", "skin_check", check)).excused is excused


def test_clean_skin_later_does_not_take_the_excuse_back():
    marked = skin("before", colour="slight", pattern="even")

    day = counts(entry("a", "skin_check", marked), entry("b", "skin_check", skin("before"), 2))

    assert day.excused


def test_other_kinds_count_nothing():
    check = {"swelling": "much", "knee_pain": 9}

    assert counts(entry("a", "morning_check", check)) == counts()


def test_a_bout_is_measured_by_the_revision_it_was_done_for():
    doses = {"revision-1": Dose(15, {}, {}), "revision-2": Dose(30, {}, {})}
    later = entry("b", "bout", BOUT, 2, revision_id="revision-2")

    day = day_counts(readings([bout("a"), later]), doses)

    assert (day.bouts_done, day.bouts_partial) == (1, 1)
