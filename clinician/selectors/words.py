"""How the desk says days, moments and counts."""

import re
from datetime import date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

ISO_DAY = re.compile(r"\b\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])\b")
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
STALE_AFTER = timedelta(hours=48)
STEPS = (
    (timedelta(minutes=1), timedelta(hours=1), "minute"),
    (timedelta(hours=1), timedelta(days=1), "hour"),
    (timedelta(days=1), timedelta(days=14), "day"),
    (timedelta(weeks=1), timedelta.max, "week"),
)


def plural(count: float, noun: str, many: str = "") -> str:
    """1 bout, 2 bouts; `many` for nouns that do not end in s."""
    return f"{count:g} {noun if count == 1 else many or noun + 's'}"


def ago(moment: datetime | None, now: datetime, never: str = "never") -> str:
    """Age in whole units: "3 hours ago"."""
    if moment is None:
        return never
    age = now - moment
    for unit, below, noun in STEPS:
        if unit <= age < below:
            return f"{plural(age // unit, noun)} ago"
    return "just now"


def stale(moment: datetime | None, now: datetime) -> bool:
    """Too old to speak of the present."""
    return moment is None or now - moment > STALE_AFTER


@lru_cache(maxsize=1024)
def day_short(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def day_long(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b} {day.year}"


def moment_short(moment: datetime, zone: ZoneInfo) -> str:
    local = moment.astimezone(zone)
    return f"{day_short(local.date())}, {local:%H:%M}"


def moment_long(moment: datetime, zone: ZoneInfo) -> str:
    local = moment.astimezone(zone)
    return f"{day_long(local.date())}, {local:%H:%M}"


def day_of(text: str) -> str:
    """An ISO day from a flag's basis; empty stays empty."""
    return day_short(date.fromisoformat(text)) if text else ""


def days_said(text: str) -> str:
    """Stored words with their ISO days as the desk says them."""
    return ISO_DAY.sub(lambda found: _day_said(found[0]), text)


def _day_said(text: str) -> str:
    try:
        return day_long(date.fromisoformat(text))
    except ValueError:  # the 31st of February is somebody's own words
        return text


def listed(parts: list[str]) -> str:
    """a, b and c."""
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)


def number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
