"""Symptoms of a stop report and who has to hear of each.

Routes follow what hospital leaflets commonly tell patients after knee surgery
(emergency for chest pain or breathlessness; same-day care for signs of a clot,
of muscle breakdown or of fever; the surgeon for the wound and the repair).
"""

from collections.abc import Iterable
from enum import StrEnum


class Route(StrEnum):
    EMERGENCY = "emergency"
    SAME_DAY = "same_day"
    SURGEON = "surgeon"
    CLINIC = "clinic"


ROUTE_OF = {
    "chest_pain": Route.EMERGENCY,
    "breathless": Route.EMERGENCY,
    "calf_pain": Route.SAME_DAY,
    "calf_swelling": Route.SAME_DAY,
    "dark_urine": Route.SAME_DAY,
    "fever": Route.SAME_DAY,
    "wound_change": Route.SURGEON,
    "pop": Route.SURGEON,
    "leg_raise_lost": Route.SURGEON,
    "skin_burn": Route.CLINIC,
    "strong_pain": Route.CLINIC,
    "faint": Route.CLINIC,
    "numb": Route.CLINIC,
    "other": Route.CLINIC,
}
URGENCY = tuple(Route)  # most urgent first
STOPS_ALL = {Route.EMERGENCY, Route.SAME_DAY}


def route_of(symptoms: Iterable[str]) -> Route:
    """The most urgent route among the symptoms told."""
    return min((ROUTE_OF[symptom] for symptom in symptoms), key=URGENCY.index)


def stops_everything(symptoms: Iterable[str], *, limb_known: bool) -> bool:
    """A safety symptom stops every limb; so does any symptom of no named limb."""
    return route_of(symptoms) in STOPS_ALL or not limb_known
