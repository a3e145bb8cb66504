"""Small makers of the plain facts the rules work on, and the cases shared with the phone."""

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, settings

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import DayCounts, DayStatus
from homeprogram.calc.flag_facts import BoutFact, EpisodeFacts, Facts
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.schedule import DueDay, PlannedRevision

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures" / "rules"
UTC_ZONE = ZoneInfo("UTC")
DEFAULTS = FlagRules()
MONDAY = date(2030, 3, 4)
EVERY_DAY = (0, 1, 2, 3, 4, 5, 6)

# The same examples in every run: a failure seen once is seen again.
many = settings(max_examples=100, derandomize=True, deadline=None)
some = settings(many, max_examples=40, suppress_health_check=[HealthCheck.too_slow])


def shared_cases(file: str) -> list:
    """The cases of one file, as the phone's tests read them too."""
    rows = json.loads((FIXTURES / file).read_text("utf-8"))
    return [pytest.param(row["given"], row["expected"], id=row["name"]) for row in rows]


def revision(number: int = 1, **changes) -> PlannedRevision:
    values = {
        "id": f"revision-{number}",
        "number": number,
        "first_day": MONDAY,
        "named_on": MONDAY - timedelta(days=7),
        "weekdays": EVERY_DAY,
        "bouts_per_day": 1,
        "contractions_per_bout": 15,
    }
    return PlannedRevision(**values | changes)


def due(bouts: int = 1, contractions: int = 15) -> DueDay:
    return DueDay(
        due=bouts,
        contractions=contractions,
        per_day=bouts,
        contractions_per_day=contractions,
        revision_id="revision-1",
    )


def off(bouts: int = 1, contractions: int = 15) -> DueDay:
    return DueDay(per_day=bouts, contractions_per_day=contractions, revision_id="revision-1")


# One letter a day makes a pattern readable: M missed, D done, U not known yet,
# N the patient said not done, P paused, O an off day, H half of a bout.
WRITTEN = {
    "M": (DayStatus.MISSED, due(), DayCounts()),
    "D": (DayStatus.DONE, due(), DayCounts(bouts_done=1, contractions=15, minutes=15)),
    "U": (DayStatus.NOT_KNOWN_YET, due(), DayCounts()),
    "N": (DayStatus.NOT_DONE, due(), DayCounts(not_done=1)),
    "P": (DayStatus.PAUSED, DueDay(paused=True, per_day=1), DayCounts()),
    "O": (DayStatus.NOT_DUE, off(), DayCounts()),
    "H": (DayStatus.PARTLY_DONE, due(), DayCounts(bouts_partial=1, contractions=7, minutes=7)),
}


def written_days(pattern: str, first: date = MONDAY, *, over: bool = True) -> tuple[Day, ...]:
    return tuple(
        Day(
            first + timedelta(days=n),
            WRITTEN[letter][1],
            WRITTEN[letter][2],
            WRITTEN[letter][0],
            over,
        )
        for n, letter in enumerate(pattern)
    )


def episode(pattern: str, first: date = MONDAY) -> EpisodeFacts:
    return EpisodeFacts("left", written_days(pattern, first))


def bout(day: date, number: int = 1, **changes) -> BoutFact:
    """A whole, quiet bout of the left limb, received that evening."""
    values = {
        "entry_id": f"{day}-{number}",
        "episode_id": "left",
        "revision_id": "revision-1",
        "day": day,
        "started_at": f"{day}T{8 + number:02d}:00",
        "said_at": datetime(day.year, day.month, day.day, 8 + number, 30, tzinfo=UTC),
        "complete": True,
        "ended_early": False,
        "discomfort": 5,
        "pain_before": 2,
        "pain_after": 2,
        "intensity": ((1, 40), (2, 36)),
        "over_ceiling": False,
        "at_limit": False,
    }
    return BoutFact(**values | changes)


def facts(**changes) -> Facts:
    """A quiet patient in UTC whose phone was heard a minute ago."""
    now = datetime(2030, 4, 1, 9, 0, tzinfo=UTC)
    values = {
        "now": now,
        "zone": UTC_ZONE,
        "watermark": now - timedelta(minutes=1),
        "last_contact_at": now - timedelta(minutes=1),
    }
    return Facts(**values | changes)
