"""What came of one message on its way out, and what every channel can do."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, Protocol, Self
from uuid import UUID


class Result(StrEnum):
    SENT = "sent"  # taken by whoever carries it on
    GONE = "gone"  # nobody is there any more; where it went is forgotten
    LATER = "later"  # not now; `at` says when again
    FAILED = "failed"  # not taken, and trying again would not help
    UNKNOWN = "unknown"  # it may have been taken: never tried again


@dataclass(frozen=True, slots=True)
class Outcome:
    """`why` is a short code of ours; it never quotes an answer, an address or a secret."""

    result: Result
    why: str = ""
    at: datetime | None = None

    @classmethod
    def sent(cls) -> Self:
        return cls(Result.SENT)

    @classmethod
    def gone(cls, why: str) -> Self:
        return cls(Result.GONE, why)

    @classmethod
    def later(cls, at: datetime, why: str) -> Self:
        return cls(Result.LATER, why, at)

    @classmethod
    def failed(cls, why: str) -> Self:
        return cls(Result.FAILED, why)

    @classmethod
    def unknown(cls, why: str) -> Self:
        return cls(Result.UNKNOWN, why)


class Channel(Protocol):
    """One way to reach a patient. `to` is the channel's own: a subscription, a number.

    The same `message_id` sent twice is the same message: whoever carries it on may
    drop the second. Nothing is delivered at or after `until`.
    """

    def send(self, *, to: Any, message_id: UUID, until: datetime, now: datetime) -> Outcome:
        """Hand it over. Takes seconds and writes nothing: never inside a transaction."""

    def settle(self, *, to: Any, outcome: Outcome, now: datetime) -> None:
        """What the outcome means for where it went; in the transaction that records it."""
