"""Calendar days in the patient's zone. A day may have 23, 24 or 25 hours."""

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from homeprogram.calc.limits import GRACE_UNTIL_HOUR

ONE_DAY = timedelta(days=1)
ADULT_YEARS = 18  # Convention on the Rights of the Child, article 1, from memory; law may differ


def zone_or_utc(name: str) -> ZoneInfo:
    """The zone of that name; UTC for a name this machine does not know."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return ZoneInfo("UTC")


def years_old(born_on: date, today: date) -> int:
    birthday_to_come = (today.month, today.day) < (born_on.month, born_on.day)
    return today.year - born_on.year - birthday_to_come


def is_adult(born_on: date, today: date) -> bool:
    return years_old(born_on, today) >= ADULT_YEARS


def local_day(moment: datetime, zone: ZoneInfo) -> date:
    return moment.astimezone(zone).date()


@lru_cache(maxsize=4096)  # a panel asks for the same fortnight of days again and again
def closes_at(day: date, zone: ZoneInfo) -> datetime:
    """The moment a day can no longer be logged without being late: noon after it."""
    noon = datetime.combine(day + ONE_DAY, time(GRACE_UNTIL_HOUR), tzinfo=zone)
    return noon.astimezone(UTC)


def filled_in_later(made: datetime, day: date) -> bool:
    """Whether an entry was made once its day had closed; `made` is what the wall showed."""
    return made.replace(tzinfo=None) >= datetime.combine(day + ONE_DAY, time(GRACE_UNTIL_HOUR))


def days_between(first: date, last: date) -> list[date]:
    """Every calendar day from first to last, both included."""
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
