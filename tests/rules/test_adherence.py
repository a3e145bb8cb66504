"""Adherence against pandas: the documented definition once more, as grouped columns."""

from dataclasses import asdict
from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.adherence import Day, adherence
from homeprogram.calc.day_status import DayCounts, day_status
from homeprogram.calc.days import closes_at
from homeprogram.calc.schedule import DueDay
from tests.rules.build import UTC_ZONE, WRITTEN, due, off, some, written_days

STARTS = [date(2030, 3, 4), date(2029, 12, 20), date(2032, 2, 25), date(2026, 12, 24)]
asked = st.sampled_from(
    [due(1, 15), due(2, 24), off(1, 15), off(2, 24), DueDay(), DueDay(paused=True, per_day=1)]
)
counts = st.builds(
    DayCounts,
    bouts_done=st.integers(0, 4),
    bouts_partial=st.integers(0, 2),
    contractions=st.integers(0, 70),
    minutes=st.integers(0, 90),
    at_floor=st.integers(0, 4),
    not_done=st.integers(0, 1),
    excused=st.booleans(),
)
logs = st.lists(st.tuples(asked, st.just(DayCounts()) | counts), max_size=40)


def decided(log: list, start: date, now_day: int, heard_day: int) -> list[Day]:
    """The days of a log as the clinic would see them at some noon, heard of up to another."""
    now = closes_at(start, UTC_ZONE) + timedelta(days=now_day)
    heard = closes_at(start, UTC_ZONE) + timedelta(days=heard_day)
    return [
        Day(
            day,
            owed,
            logged,
            day_status(day=day, due=owed, logged=logged, watermark=heard, now=now, zone=UTC_ZONE),
            over=closes_at(day, UTC_ZONE) <= now,
        )
        for day, (owed, logged) in enumerate_days(log, start)
    ]


def enumerate_days(log: list, start: date):
    return ((start + timedelta(days=n), row) for n, row in enumerate(log))


def table(days: list[Day]) -> pd.DataFrame:
    rows = [
        {"day": pd.Timestamp(d.day), "over": d.over, "status": str(d.status)}
        | asdict(d.due)
        | {f"logged_{name}": value for name, value in asdict(d.logged).items()}
        for d in days
    ]
    return pd.DataFrame(rows)


def by_pandas(days: list[Day]) -> dict:
    frame = table(days)
    settled = frame["over"] | (frame["status"] == "done")
    said = frame["status"].isin(["done", "partly_done", "not_done", "missed"])
    frame["known"] = settled & said & (frame["due"] > 0)
    frame["off"] = frame["status"] == "not_due"
    week = [frame["day"].dt.strftime("%G"), frame["day"].dt.strftime("%V")]
    known, unknown = frame[frame["known"]], frame[frame["status"] == "not_known_yet"]
    return {
        "due_days": len(known) + len(unknown),
        "unknown_days": len(unknown),
        "bouts_due": known["due"].sum(),
        "bouts_done": weekly(frame, week, "logged_bouts_done", "due", "per_day"),
        "contractions_due": known["contractions"].sum(),
        "contractions_done": weekly(
            frame, week, "logged_contractions", "contractions", "contractions_per_day"
        ),
        "minutes_done": frame["logged_minutes"].sum(),
        "bouts_at_floor": frame["logged_at_floor"].sum(),
        "bouts_over": (frame["logged_bouts_done"] - frame["per_day"]).clip(lower=0).sum(),
    }


def weekly(frame: pd.DataFrame, week: list, done: str, owed: str, most: str) -> int:
    """Per ISO week the lesser of what was done, cut per day, and what known days owed."""
    counted = np.minimum(frame[done], frame[most]).where(frame["known"] | frame["off"], 0)
    owing = frame[owed].where(frame["known"], 0)
    sums = pd.DataFrame({"counted": counted, "owing": owing}).groupby(week).sum()
    return sums.min(axis="columns").sum()


@some
@suppose(logs.filter(len), st.sampled_from(STARTS), st.integers(-1, 45), st.integers(-1, 45))
def test_any_log_gives_the_table_pandas_gives(log, start, now_day, heard_day):
    days = decided(log, start, now_day, min(now_day, heard_day))

    assert asdict(adherence(days)) == by_pandas(days)


def bouts(days) -> tuple:
    told = adherence(days)
    return told.bouts_done, told.bouts_due


def test_no_days_are_no_adherence():
    told = adherence([])

    assert told.bouts_due == 0
    assert told.bouts_pct is None
    assert told.contractions_pct is None


@pytest.mark.parametrize(
    ("pattern", "done", "owed", "unknown"),
    [
        ("DDDDDDD", 7, 7, 0),
        ("DDMDDDD", 6, 7, 0),
        ("DDUDDDD", 6, 6, 1),
        ("DDPDDDD", 6, 6, 0),
        ("DDNDDDD", 6, 7, 0),
        ("DDHDDDD", 6, 7, 0),
        ("UUUUUUU", 0, 0, 7),
        ("PPPPPPP", 0, 0, 0),
        ("DOMODOO", 2, 3, 0),
    ],
)
def test_unknown_and_paused_days_leave_the_share(pattern, done, owed, unknown):
    told = adherence(written_days(pattern))

    assert (told.bouts_done, told.bouts_due, told.unknown_days) == (done, owed, unknown)


def test_shares_are_percent_of_what_was_due():
    told = adherence(written_days("DDDM"))

    assert told.bouts_pct == 75
    assert told.contractions_pct == 75


def test_a_half_bout_counts_its_contractions_and_no_bout():
    told = adherence(written_days("DH"))

    assert (told.bouts_done, told.contractions_done, told.contractions_due) == (1, 22, 30)


def test_a_day_still_open_does_not_count_until_its_bout_is_done():
    open_day = written_days("H", over=False)
    done_day = written_days("D", over=False)

    assert bouts(open_day) == (0, 0)
    assert bouts(done_day) == (1, 1)


def off_day(n: int, done: int) -> Day:
    logged = DayCounts(bouts_done=done, contractions=15 * done)
    return Day(date(2030, 3, 4) + timedelta(days=n), off(), logged, WRITTEN["O"][0], over=True)


def test_a_bout_on_an_off_day_makes_up_for_a_missed_one_of_its_week():
    told = adherence([*written_days("DM"), off_day(2, done=1)])

    assert (told.bouts_done, told.bouts_due) == (2, 2)
    assert (told.contractions_done, told.contractions_due) == (30, 30)


def test_extras_of_one_day_do_not_hide_two_gaps():
    told = adherence([*written_days("MM"), off_day(2, done=3)])

    assert (told.bouts_done, told.bouts_due, told.bouts_over) == (1, 2, 2)
    assert told.contractions_done == 15


def test_extras_never_lift_a_week_above_what_it_asked():
    told = adherence([*written_days("DD"), off_day(2, done=1), off_day(3, done=1)])

    assert (told.bouts_done, told.bouts_due) == (2, 2)


def test_a_bout_on_an_off_day_does_not_count_for_another_week():
    told = adherence([*written_days("OOOOOM"), off_day(7, done=1)])

    assert (told.bouts_done, told.bouts_due) == (0, 1)


def test_a_bout_on_a_paused_day_stays_visible_only_where_it_is_over_use():
    paused = Day(
        date(2030, 3, 4),
        DueDay(paused=True, per_day=1),
        DayCounts(bouts_done=2, contractions=30, minutes=30),
        WRITTEN["P"][0],
        over=True,
    )

    told = adherence([paused])

    assert (told.bouts_done, told.bouts_due, told.bouts_over, told.minutes_done) == (0, 0, 1, 30)


def test_the_turn_of_the_year_does_not_part_a_week():
    # Monday 31 December 2029 to Sunday 6 January 2030 is one ISO week.
    start = date(2029, 12, 31)
    logged = DayCounts(bouts_done=1, contractions=15)
    late = Day(start + timedelta(days=5), off(), logged, WRITTEN["O"][0], over=True)

    assert bouts([*written_days("M", start), late]) == (1, 1)
