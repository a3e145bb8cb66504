"""What a day is called, over watermark, hour, log and zone; never blamed without knowing."""

import itertools
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.day_status import NOTHING_LOGGED, DayCounts, DayStatus, day_status
from homeprogram.calc.days import closes_at
from homeprogram.calc.schedule import DueDay
from tests.rules.build import UTC_ZONE, due, many, off, shared_cases

DAY = date(2030, 3, 4)
DONE = DayCounts(bouts_done=1)
# The moment the Monday closes, written out; two of these nights change the clock.
CLOSING = {
    "UTC": (DAY, "2030-03-05T12:00:00+00:00"),
    "Pacific/Kiritimati": (DAY, "2030-03-04T22:00:00+00:00"),
    "Pacific/Pago_Pago": (DAY, "2030-03-05T23:00:00+00:00"),
    "Asia/Kathmandu": (DAY, "2030-03-05T06:15:00+00:00"),
    "America/New_York": (date(2030, 3, 9), "2030-03-10T16:00:00+00:00"),
    "Australia/Lord_Howe": (date(2030, 4, 6), "2030-04-07T01:30:00+00:00"),
}
A_SECOND = timedelta(seconds=1)
A_DAY = timedelta(days=1)
NEVER = None


def status(logged=NOTHING_LOGGED, *, asked=None, now=A_DAY, heard=NEVER, gap=False, zone="UTC"):
    """`now` and `heard` are told from the moment the day closes."""
    day, closing = CLOSING[zone]
    closing = datetime.fromisoformat(closing)
    return day_status(
        day=day,
        due=asked or due(),
        logged=logged,
        watermark=heard if heard is None else closing + heard,
        now=closing + now,
        zone=ZoneInfo(zone),
        gap=gap,
    )


@pytest.mark.parametrize(("given", "expected"), shared_cases("day_status.json"))
def test_a_day_has_the_word_the_phone_shows(given, expected):
    row, heard = given["row"], given["watermark_local"]

    word = day_status(
        day=date.fromisoformat(given["day"]),
        due=DueDay(due=row["due_bouts"], per_day=row["due_bouts"], paused=row["paused"]),
        logged=DayCounts(row["done_bouts"], row["partial_bouts"], not_done=row["not_done_bouts"]),
        watermark=heard and datetime.fromisoformat(heard).replace(tzinfo=UTC),
        now=datetime.fromisoformat(given["now_local"]).replace(tzinfo=UTC),
        zone=UTC_ZONE,
    )

    assert word == expected


@pytest.mark.parametrize("zone", CLOSING)
@pytest.mark.parametrize(
    ("now", "heard", "word"),
    [
        (-A_SECOND, NEVER, "still_open"),
        (-A_SECOND, -A_SECOND, "still_open"),
        (-A_DAY, -A_DAY, "still_open"),
        (0 * A_DAY, NEVER, "not_known_yet"),
        (0 * A_DAY, -A_SECOND, "not_known_yet"),
        (0 * A_DAY, 0 * A_DAY, "missed"),
        (30 * A_DAY, NEVER, "not_known_yet"),
        (30 * A_DAY, -A_SECOND, "not_known_yet"),
        (30 * A_DAY, 0 * A_DAY, "missed"),
        (30 * A_DAY, A_DAY, "missed"),
    ],
)
def test_an_empty_day_is_missed_only_behind_the_watermark(zone, now, heard, word):
    assert status(now=now, heard=heard, zone=zone) == word


@pytest.mark.parametrize("zone", CLOSING)
@pytest.mark.parametrize("heard", [NEVER, -A_DAY, A_DAY])
@pytest.mark.parametrize("now", [-A_DAY, A_DAY])
@pytest.mark.parametrize(
    ("logged", "word"),
    [
        (DONE, "done"),
        (DayCounts(bouts_done=1, bouts_partial=2, not_done=1), "done"),
        (DayCounts(bouts_partial=1), "partly_done"),
        (DayCounts(bouts_partial=1, not_done=1), "partly_done"),
        (DayCounts(not_done=1), "not_done"),
        (DayCounts(excused=True), "paused"),
        (DayCounts(excused=True, not_done=1), "paused"),
        (DayCounts(excused=True, bouts_partial=1), "paused"),
        (DayCounts(excused=True, bouts_done=1), "done"),
    ],
)
def test_what_was_logged_shows_at_once_and_whatever_is_heard(logged, word, now, heard, zone):
    assert status(logged, now=now, heard=heard, zone=zone) == word


@pytest.mark.parametrize("logged", [DayCounts(), DONE, DayCounts(not_done=1)])
@pytest.mark.parametrize("heard", [NEVER, A_DAY])
@pytest.mark.parametrize(
    ("asked", "word"),
    [
        (DueDay(paused=True, per_day=1), "paused"),
        (off(), "not_due"),
        (DueDay(), "not_due"),
    ],
)
def test_a_day_that_asks_for_nothing_is_never_blamed(asked, word, heard, logged):
    assert status(logged, asked=asked, heard=heard) == word


@pytest.mark.parametrize(("done", "word"), [(1, "partly_done"), (2, "done"), (3, "done")])
def test_two_due_bouts_need_two(done, word):
    assert status(DayCounts(bouts_done=done), asked=due(2)) == word


def test_a_day_of_which_something_is_unheard_stays_unknown():
    assert status(heard=A_DAY, gap=True) == "not_known_yet"


# --- whatever happens ----------------------------------------------------------------

zones = st.sampled_from(sorted(CLOSING)).map(ZoneInfo)
days = st.dates(date(2029, 12, 1), date(2032, 12, 31))
counts = st.builds(
    DayCounts,
    bouts_done=st.integers(0, 3),
    bouts_partial=st.integers(0, 2),
    not_done=st.integers(0, 2),
    excused=st.booleans(),
)
hours = st.integers(-72, 24 * 40)
asked = st.sampled_from([due(1), due(2, 30), off(), DueDay(), DueDay(paused=True, per_day=1)])


@many
@suppose(
    day=days,
    zone=zones,
    owed=asked,
    logged=counts,
    now_h=hours,
    heard_h=hours | st.none(),
    gap=st.booleans(),
)
def test_missed_is_said_only_of_a_closed_due_empty_day_that_was_heard_of(
    *, day, zone, owed, logged, now_h, heard_h, gap
):
    closing = closes_at(day, zone)
    word = day_status(
        day=day,
        due=owed,
        logged=logged,
        watermark=heard_h if heard_h is None else closing + timedelta(hours=heard_h),
        now=closing + timedelta(hours=now_h),
        zone=zone,
        gap=gap,
    )

    certain = heard_h is not None and heard_h >= 0 and now_h >= 0 and not gap
    empty = not (logged.bouts_done or logged.bouts_partial or logged.not_done)
    assert (word is DayStatus.MISSED) == (
        certain and empty and owed.due > 0 and not owed.paused and not logged.excused
    )


steps = st.lists(
    st.tuples(
        st.sampled_from(["bouts_done", "bouts_partial", "not_done", "nothing"]),
        st.integers(0, 30),
        st.booleans(),
    ),
    min_size=1,
    max_size=8,
)
LOGGED = {"done", "partly_done", "not_done"}
# From an earlier word to a later one, while entries only arrive and time only passes.
ALLOWED = {
    "still_open": {"still_open", "not_known_yet", "missed", *LOGGED},
    "not_known_yet": {"not_known_yet", "missed", *LOGGED},
    "missed": {"missed", *LOGGED},
    "not_done": LOGGED,
    "partly_done": {"partly_done", "done"},
    "done": {"done"},
}


def words_over_time(taken: list, zone: ZoneInfo, owed: DueDay) -> list[str]:
    """The day's word after each step: something arrives, hours pass, the phone may claim."""
    start = datetime.combine(DAY, datetime.min.time(), tzinfo=zone).astimezone(UTC)
    logged, now, heard, words = DayCounts(), start, None, []
    for what, passed, claims in taken:
        now += timedelta(hours=passed)
        heard = now if claims else heard
        logged = replace(logged, **({what: 1} if what != "nothing" else {}))
        words.append(
            day_status(day=DAY, due=owed, logged=logged, watermark=heard, now=now, zone=zone)
        )
    return words


@many
@suppose(steps, zones, st.sampled_from([due(1), due(2, 30)]))
def test_a_day_only_ever_becomes_better_known(taken, zone, owed):
    words = words_over_time(taken, zone, owed)

    assert [(a, b) for a, b in itertools.pairwise(words) if b not in ALLOWED[a]] == []
