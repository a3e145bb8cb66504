"""What only the desk keeps. One noun a file."""

from clinician.models.draft import Draft
from clinician.models.heartbeat import Heartbeat
from clinician.models.reminder import (
    OUT,
    OptOut,
    Reminder,
    ReminderKind,
    ReminderOutcome,
    ReminderSetting,
    Way,
)
from clinician.models.staff_mail import MailKind, StaffMail, StaffMailSetting

__all__ = [
    "OUT",
    "Draft",
    "Heartbeat",
    "MailKind",
    "OptOut",
    "Reminder",
    "ReminderKind",
    "ReminderOutcome",
    "ReminderSetting",
    "StaffMail",
    "StaffMailSetting",
    "Way",
]
