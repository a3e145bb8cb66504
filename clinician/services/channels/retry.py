"""When to try again: what the other side asked for, within what makes sense."""

from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime

from clinician.services.channels.outcome import Outcome

SOONEST = timedelta(seconds=30)
UNASKED = timedelta(minutes=5)
# RFC 9110 15.5.9, RFC 8470, RFC 6585: too slow, too early, too many.
NOT_NOW = {408, 425, 429}


def is_busy(status: int) -> bool:
    """An answer after which the same may be tried again."""
    return status in NOT_NOW or status >= 500


def later(header: str | None, why: str, *, until: datetime, now: datetime) -> Outcome:
    """Again when the other side asks for it, but never past the reminder's window."""
    at = retry_at(header, now)
    return Outcome.later(at, why) if at < until else Outcome.failed("too_late")


def retry_at(header: str | None, now: datetime) -> datetime:
    """Retry-After in seconds or as a date (RFC 9110 10.2.3); 5 minutes where it says nothing."""
    return max(_asked(header, now) or now + UNASKED, now + SOONEST)


def _asked(header: str | None, now: datetime) -> datetime | None:
    text = (header or "").strip()
    try:
        if text.isascii() and text.isdigit():
            return now + timedelta(seconds=int(text))
        told = parsedate_to_datetime(text)
    except (ValueError, OverflowError, TypeError):
        return None
    return told if told.tzinfo else told.replace(tzinfo=UTC)
