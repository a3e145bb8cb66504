"""What the desk's forms offer: (stored code, words)."""

from zoneinfo import available_timezones

from clinician.models import (
    ContactAbout,
    ContactDirection,
    ContactOutcome,
    ContactWay,
    IncidentKind,
    IncidentWhen,
    StimulatorAct,
)
from clinician.selectors import words
from homeprogram.calc import skin
from homeprogram.models import (
    FlagOutcome,
    Limb,
    ObservedContraction,
    Pathway,
    PauseReason,
    PhoneState,
    Role,
    VisitKind,
    Waveform,
)

LIMBS = [(value, label.upper()) for value, label in Limb.choices]
PATHWAYS = Pathway.choices
PAUSE_REASONS = [(value, label.lower()) for value, label in PauseReason.choices]
VISIT_KINDS = VisitKind.choices
CONTACT_WAYS = [(value, label.lower()) for value, label in ContactWay.choices]
CONTACT_DIRECTIONS = ContactDirection.choices
CONTACT_OUTCOMES = ContactOutcome.choices
INCIDENT_KINDS = [(value, label.lower()) for value, label in IncidentKind.choices]
INCIDENT_NEAR = IncidentWhen.choices
STIMULATOR_ACTS = [(value, label.lower()) for value, label in StimulatorAct.choices]
CONTACT_ABOUT = [(value, label.lower()) for value, label in ContactAbout.choices]
WAVEFORMS = Waveform.choices
OBSERVED = [(value, label.lower()) for value, label in ObservedContraction.choices]
FLAG_OUTCOMES = FlagOutcome.choices
ROLES = [(Role.CLINICIAN.value, "clinician"), (Role.LEAD.value, "lead")]
REVOKED = [
    (PhoneState.REPLACED.value, "replaced: what it still holds is kept when it comes"),
    (PhoneState.STOLEN.value, "lost or stolen: nothing is taken from it any more"),
]
WEEKDAYS = [(str(i), name) for i, name in enumerate(words.WEEKDAYS)]
PADS = [(pad, pad.replace("_", " ")) for pad in skin.PADS]


def zones() -> list[str]:
    """Names of zones with a place in them; the old aliases are left out."""
    return sorted(
        zone for zone in available_timezones() if "/" in zone and not zone.startswith("Etc/")
    )
