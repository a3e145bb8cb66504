"""From what was agreed with a patient to where each channel sends."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from clinician.models import ReminderSetting, Way
from clinician.services.channels.outcome import Channel


@dataclass(frozen=True, slots=True)
class Message:
    """Everything a message may tell: nothing of the patient, the clinic or health."""

    id: UUID  # of the reminder; the same at every try
    language: str
    wording: str  # of calc.reminders.Wording, or "contact"
    until: datetime  # nobody wants it later
    open_url: str  # the patient's app
    stop_url: str  # ends reminders with one tap, without signing in
    closed: bool = False  # nobody is there today; the app says who answers


@dataclass(frozen=True, slots=True)
class Route:
    """A channel, whether it reaches a patient, and what it takes as `to`; none = nowhere."""

    channel: Channel
    reaches: Callable[[ReminderSetting], bool]
    addresses: Callable[[ReminderSetting, Message], Sequence[Any]]


Routes = Mapping[Way, Route]
