"""What a way of reminding a patient must do. One adapter a way."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Protocol
from uuid import UUID

from clinician.models import ReminderSetting


class Delivery(StrEnum):
    """What came of handing a message over."""

    SENT = "sent"  # the next server has it
    LATER = "later"  # it was surely not taken; to be tried again
    GONE = "gone"  # nothing is reached there any more; the adapter has forgotten the address
    REFUSED = "refused"  # it will never be taken like this: our fault, or a wrong address
    UNKNOWN = "unknown"  # it may have been taken: never tried again


@dataclass(frozen=True, slots=True)
class Delivered:
    delivery: Delivery
    why: str = ""  # a short code for the desk and the log, never what a server wrote
    retry_after_s: int = 60


@dataclass(frozen=True, slots=True)
class Message:
    """Everything a message may tell: nothing of the patient, the clinic or health."""

    id: UUID  # of the reminder; the same at every try
    language: str
    wording: str  # of calc.reminders.Wording, or "contact"
    until: datetime  # nobody wants it later
    open_url: str  # the patient's app
    stop_url: str  # ends reminders with one tap, without signing in


class Channel(Protocol):
    """An adapter. `send` runs outside any transaction and returns within seconds."""

    def reaches(self, setting: ReminderSetting) -> bool:
        """Whether there is an address to send to."""

    def send(self, setting: ReminderSetting, message: Message, now: datetime) -> Delivered: ...
