"""Strict readers of the few text forms an entry uses; each raises ValueError.

Python reads many spellings of one id or day. Only the form of the protocol is
taken: a second spelling would be a second name for the same thing.
"""

import hashlib
from datetime import date, datetime
from uuid import UUID


def uuid_of(text: str) -> UUID:
    """An id as written by a phone: lower case, with hyphens."""
    value = UUID(text)
    _same(str(value), text)
    return value


def day_of(text: str) -> date:
    """YYYY-MM-DD."""
    value = date.fromisoformat(text)
    _same(value.isoformat(), text)
    return value


def minute_as_said(text: str) -> str:
    """A wall clock to the minute, YYYY-MM-DDTHH:MM, without a zone."""
    return _wall_clock(text, "minutes")


def second_as_said(text: str) -> str:
    """A wall clock to the second, YYYY-MM-DDTHH:MM:SS, without a zone."""
    return _wall_clock(text, "seconds")


def _wall_clock(text: str, timespec: str) -> str:
    moment = datetime.fromisoformat(text)
    _same(moment.replace(tzinfo=None).isoformat(timespec=timespec), text)
    return text


def _same(written: str, text: str) -> None:
    if written != text:
        raise ValueError(f"{text!r} is not in the form {written!r}")


def digest(text: str) -> str:
    """SHA-256 in hex of the text as it arrived, half surrogate pairs included."""
    return hashlib.sha256(text.encode(errors="surrogatepass")).hexdigest()
