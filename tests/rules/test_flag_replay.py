"""How many cards the default missed-days rules raise on simulated panels.

Our own simulation, no source: independent misses, a due day every day, the phone
heard every noon, one card until its rule clears. On such panels we found about
0.02, 0.10, 0.35 and 0.55 new cards a patient-week at 5, 10, 20 and 30 % misses.
"""

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from functools import cache

import numpy as np
import pytest

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import DayCounts, day_status
from homeprogram.calc.days import closes_at
from homeprogram.calc.flag_facts import EpisodeFacts, Facts, ProgramFact, StrengthFact
from homeprogram.calc.flags import missed_days, wanted_cards
from homeprogram.calc.schedule import Plan, due_on
from tests.rules.build import DEFAULTS, MONDAY, UTC_ZONE, bout, revision, written_days

PATIENTS, WEEKS = 200, 26
WINDOW = DEFAULTS.window_days


def new_cards(missed: np.ndarray) -> int:
    """Openings of the card over one patient's days, each judged at its closing."""
    days = written_days("".join("M" if day else "D" for day in missed))
    now = datetime(2031, 1, 1, tzinfo=UTC)
    told = Facts(now=now, zone=UTC_ZONE, watermark=now, last_contact_at=now)
    stands = [
        any(missed_days(EpisodeFacts("left", days[max(0, n - WINDOW) : n]), told, DEFAULTS))
        for n in range(1, len(days) + 1)
    ]
    return sum(now and not before for before, now in zip([False, *stands], stands, strict=False))


@cache
def cards_a_patient_week(miss_rate: float) -> float:
    missed = np.random.default_rng(20300304).random((PATIENTS, 7 * WEEKS)) < miss_rate
    return sum(new_cards(row) for row in missed) / (PATIENTS * WEEKS)


@pytest.mark.parametrize(
    ("miss_rate", "found"), [(0.05, 0.02), (0.10, 0.10), (0.20, 0.35), (0.30, 0.55)]
)
def test_a_panel_raises_as_many_cards_as_we_found(miss_rate, found):
    assert cards_a_patient_week(miss_rate) == pytest.approx(found, rel=0.1, abs=0.005)


@pytest.mark.parametrize(("miss_rate", "most"), [(0.20, 0.4), (0.10, 0.10)])
def test_a_panel_is_not_buried_in_cards(miss_rate, most):
    assert cards_a_patient_week(miss_rate) <= most


# --- every default rule together ----------------------------------------------------------

FEW, MONTHS = 20, 4  # patients, of 28 days
NOISE = 1.2  # points of 10 around a usual that does not change; our own assumption


def all_new_cards(rng: np.random.Generator, miss_rate: float) -> Counter:
    """Openings by reason over one patient's months.

    One bout a due day, discomfort around 5 and knee pain around 3 of 10, a strength
    test every fourth week, nothing said and pads changed in time.
    """
    missed = rng.random(28 * MONTHS) < miss_rate
    felt = np.clip(np.rint(rng.normal((5, 3), NOISE, (len(missed), 2))), 0, 10).astype(int)
    days = written_days("".join("M" if day else "D" for day in missed))
    bouts = [
        bout(day.day, discomfort=int(felt[n, 0]), pain_after=int(felt[n, 1]))
        for n, day in enumerate(days)
        if not missed[n]
    ]
    opened, stood = Counter(), set()
    for n in range(1, len(days) + 1):
        now = closes_at(days[n - 1].day, UTC_ZONE)
        tested = MONDAY + timedelta(days=28 * ((n + 1) // 28))
        program = ProgramFact(True, MONDAY, "revision-1", test=StrengthFact(tested, now))
        told = Facts(
            now=now,
            zone=UTC_ZONE,
            watermark=now,
            last_contact_at=now,
            episodes=(EpisodeFacts("left", days[max(0, n - WINDOW) : n]),),
            bouts=tuple(b for b in bouts if b.said_at <= now)[-WINDOW:],
            programs={"left": program},
        )
        stands = {card.reason for card in wanted_cards(told, DEFAULTS)}
        opened.update(stands - stood)
        stood = stands
    return opened


@pytest.mark.parametrize(("miss_rate", "most"), [(0.10, 0.42), (0.20, 0.85)])
def test_all_default_rules_together_bury_nobody(miss_rate, most):
    rng = np.random.default_rng(20300304)
    opened = sum((all_new_cards(rng, miss_rate) for _ in range(FEW)), Counter())
    weeks = FEW * MONTHS * 4

    rates = {reason: round(count / weeks, 3) for reason, count in sorted(opened.items())}
    print(f"{miss_rate:.0%} missed: {opened.total() / weeks:.3f} new cards a patient-week, {rates}")

    assert opened.total() / weeks <= most


# --- one patient, hour by hour -----------------------------------------------------------

SCHEDULES = {"daily": (0, 1, 2, 3, 4, 5, 6), "Mon-Fri": (0, 1, 2, 3, 4), "Mon/Wed/Fri": (0, 2, 4)}
TRAINS_AT = timedelta(hours=18)
ONE_DAY = timedelta(days=1)
schedules = pytest.mark.parametrize("schedule", SCHEDULES)


def midnight(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, tzinfo=UTC)


def reasons_at(now: datetime, schedule: str, stops_on: date, *, heard_daily: bool) -> set[str]:
    """Cards of a patient who did every due bout at 18:00 until the day of stopping."""
    plan = Plan((revision(weekdays=SCHEDULES[schedule]),), None, ())
    span = [MONDAY + n * ONE_DAY for n in range((now.date() - MONDAY).days + 1)]
    trained = [d for d in span if d < stops_on and due_on(plan, d).due]
    trained = [d for d in trained if midnight(d) + TRAINS_AT <= now]
    contacts = [midnight(d) + TRAINS_AT for d in trained]
    heard = now if heard_daily else max(contacts, default=midnight(MONDAY))
    days = tuple(decided(day, plan, day in trained, heard, now) for day in span)
    told = Facts(now, UTC_ZONE, heard, heard, (EpisodeFacts("left", days[-WINDOW:]),))
    return {card.reason for card in wanted_cards(told, DEFAULTS)}


def decided(day: date, plan: Plan, trained: bool, heard: datetime, now: datetime) -> Day:
    logged = DayCounts(bouts_done=1, contractions=15) if trained else DayCounts()
    owed = due_on(plan, day)
    status = day_status(day=day, due=owed, logged=logged, watermark=heard, now=now, zone=UTC_ZONE)
    return Day(day, owed, logged, status, over=now >= closes_at(day, UTC_ZONE))


@schedules
@pytest.mark.parametrize("heard_daily", [True, False])
def test_whoever_does_every_bout_has_no_card_at_any_hour(schedule, heard_daily):
    # The phone may be opened for the bouts alone: a weekend off is no silence.
    hours = [midnight(MONDAY) + timedelta(hours=n) for n in range(24 * 28)]
    never = date(2031, 1, 1)

    found = [reasons_at(hour, schedule, never, heard_daily=heard_daily) for hour in hours]

    assert set().union(*found) == set()


@schedules
@pytest.mark.parametrize("stops_after", range(14, 21))
@pytest.mark.parametrize(("heard_daily", "reason"), [(True, "missed_days"), (False, "no_contact")])
def test_whoever_stops_is_shown_within_three_due_days(schedule, stops_after, heard_daily, reason):
    stops_on = MONDAY + stops_after * ONE_DAY
    plan = Plan((revision(weekdays=SCHEDULES[schedule]),), None, ())
    ahead = [stops_on + n * ONE_DAY for n in range(10)]
    third = [day for day in ahead if due_on(plan, day).due][2]

    found = reasons_at(closes_at(third, UTC_ZONE), schedule, stops_on, heard_daily=heard_daily)

    assert reason in found
