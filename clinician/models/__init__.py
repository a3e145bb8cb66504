"""What only the desk keeps. One noun a file."""

from clinician.models.contact import (
    Contact,
    ContactAbout,
    ContactDirection,
    ContactOutcome,
    ContactWay,
)
from clinician.models.discharge import Discharge
from clinician.models.draft import Draft
from clinician.models.duty import Absence, WorkingWeek
from clinician.models.handover import Handover
from clinician.models.heartbeat import Heartbeat
from clinician.models.incident import (
    Incident,
    IncidentClosing,
    IncidentKind,
    IncidentSupplement,
    IncidentWhen,
)
from clinician.models.note import Addendum, SignedNote
from clinician.models.reading import CounterReading
from clinician.models.reminder import (
    OUT,
    OptOut,
    Reminder,
    ReminderKind,
    ReminderOutcome,
    ReminderSetting,
    Way,
)
from clinician.models.review import Outcome, Review
from clinician.models.saved_view import SavedView
from clinician.models.staff_mail import MailKind, StaffMail, StaffMailSetting
from clinician.models.stimulator import Loan, Stimulator, StimulatorAct, StimulatorEvent

__all__ = [
    "OUT",
    "Absence",
    "Addendum",
    "Contact",
    "ContactAbout",
    "ContactDirection",
    "ContactOutcome",
    "ContactWay",
    "CounterReading",
    "Discharge",
    "Draft",
    "Handover",
    "Heartbeat",
    "Incident",
    "IncidentClosing",
    "IncidentKind",
    "IncidentSupplement",
    "IncidentWhen",
    "Loan",
    "MailKind",
    "OptOut",
    "Outcome",
    "Reminder",
    "ReminderKind",
    "ReminderOutcome",
    "ReminderSetting",
    "Review",
    "SavedView",
    "SignedNote",
    "StaffMail",
    "StaffMailSetting",
    "Stimulator",
    "StimulatorAct",
    "StimulatorEvent",
    "Way",
    "WorkingWeek",
]
