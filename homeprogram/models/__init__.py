"""Tables and constraints. Rules that need rows live in services."""

from homeprogram.models.clinic import Clinic, LogIdentity
from homeprogram.models.decision import Decision, DecisionKind
from homeprogram.models.entry import Change, ChangeType, Entry, EntryKind, HeldEntry, NoteReading
from homeprogram.models.flag import (
    Flag,
    FlagDeed,
    FlagEvent,
    FlagOutcome,
    FlagState,
    Hold,
    HoldScope,
    Lift,
)
from homeprogram.models.patient import Consent, Episode, Limb, Pathway, Patient
from homeprogram.models.phone import PairingCode, PairingTry, Phone, PhoneState
from homeprogram.models.photo import Gone, PhotoAgreement, SkinPhoto
from homeprogram.models.prescribing import (
    ClinicFamily,
    LimitKind,
    ObservedContraction,
    Screening,
    ScreeningOccasion,
    ScreeningOutcome,
    StrengthTest,
    SurgeonLimit,
)
from homeprogram.models.program import (
    Counter,
    HomeProgram,
    Pause,
    PauseReason,
    Revision,
    RevisionOnPhone,
    StimulatorProfile,
    StimulatorSetting,
    Unit,
    Waveform,
)
from homeprogram.models.projection import Bout, PadNews, PatientDay, SkinCheck
from homeprogram.models.setting import SettingChange, SettingKind
from homeprogram.models.subscription import Ended, PushSubscription
from homeprogram.models.user import Clinician, Role, User
from homeprogram.models.visit import SupervisedBout, Visit, VisitKind

__all__ = [
    "Bout",
    "Change",
    "ChangeType",
    "Clinic",
    "ClinicFamily",
    "Clinician",
    "Consent",
    "Counter",
    "Decision",
    "DecisionKind",
    "Ended",
    "Entry",
    "EntryKind",
    "Episode",
    "Flag",
    "FlagDeed",
    "FlagEvent",
    "FlagOutcome",
    "FlagState",
    "Gone",
    "HeldEntry",
    "Hold",
    "HoldScope",
    "HomeProgram",
    "Lift",
    "Limb",
    "LimitKind",
    "LogIdentity",
    "NoteReading",
    "ObservedContraction",
    "PadNews",
    "PairingCode",
    "PairingTry",
    "Pathway",
    "Patient",
    "PatientDay",
    "Pause",
    "PauseReason",
    "Phone",
    "PhoneState",
    "PhotoAgreement",
    "PushSubscription",
    "Revision",
    "RevisionOnPhone",
    "Role",
    "Screening",
    "ScreeningOccasion",
    "ScreeningOutcome",
    "SettingChange",
    "SettingKind",
    "SkinCheck",
    "SkinPhoto",
    "StimulatorProfile",
    "StimulatorSetting",
    "StrengthTest",
    "SupervisedBout",
    "SurgeonLimit",
    "Unit",
    "User",
    "Visit",
    "VisitKind",
    "Waveform",
]
