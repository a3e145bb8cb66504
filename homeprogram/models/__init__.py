"""Tables and constraints. Rules that need rows live in services."""

from homeprogram.models.clinic import Clinic, LogIdentity
from homeprogram.models.entry import Change, ChangeType, Entry, EntryKind, HeldEntry, NoteReading
from homeprogram.models.flag import Flag, FlagState, Hold, HoldScope, Lift
from homeprogram.models.patient import Consent, Episode, Limb, Pathway, Patient
from homeprogram.models.phone import PairingCode, PairingTry, Phone, PhoneState
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
    HomeProgram,
    Pause,
    PauseReason,
    Revision,
    RevisionOnPhone,
    StimulatorProfile,
    StimulatorSetting,
    Unit,
    Visit,
    VisitKind,
    Waveform,
)
from homeprogram.models.projection import Bout, PatientDay, SkinCheck
from homeprogram.models.user import Clinician, Role, User

__all__ = [
    "Bout",
    "Change",
    "ChangeType",
    "Clinic",
    "ClinicFamily",
    "Clinician",
    "Consent",
    "Entry",
    "EntryKind",
    "Episode",
    "Flag",
    "FlagState",
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
    "PairingCode",
    "PairingTry",
    "Pathway",
    "Patient",
    "PatientDay",
    "Pause",
    "PauseReason",
    "Phone",
    "PhoneState",
    "Revision",
    "RevisionOnPhone",
    "Role",
    "Screening",
    "ScreeningOccasion",
    "ScreeningOutcome",
    "SkinCheck",
    "StimulatorProfile",
    "StimulatorSetting",
    "StrengthTest",
    "SurgeonLimit",
    "Unit",
    "User",
    "Visit",
    "VisitKind",
    "Waveform",
]
