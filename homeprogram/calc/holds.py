"""Which entries raise a hold. Only a clinician's lift ends one."""

from dataclasses import dataclass

from homeprogram.calc import skin, symptoms, told_changes
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.errors import InvalidEntry

HOLDING_KINDS = ("stop_report", "skin_check", "note_to_clinic")


@dataclass(frozen=True, slots=True)
class HoldRaised:
    """`scope` is limb or all; `reason` is what raised it: a route, a skin grade, a change told."""

    scope: str
    reason: str


def hold_raised_by(kind: str, payload: dict, *, limb_known: bool) -> HoldRaised | None:
    """The hold this entry raises, or None.

    A correction never takes back what its target raised, but one that tells of
    something worse raises a hold of its own, like a fresh entry.
    """
    if kind == "correction":
        kind, payload = _told(payload["payload"])
    if kind == "stop_report":
        told = payload["symptoms"]
        everything = symptoms.stops_everything(told, limb_known=limb_known)
        return HoldRaised("all" if everything else "limb", symptoms.route_of(told).value)
    if kind == "skin_check":
        grade = skin.check_grade(payload["pads"], payload["moment"])
        if skin.raises_hold(grade):
            return HoldRaised("limb" if limb_known else "all", f"skin_grade_{grade}")
    if kind == "note_to_clinic" and told_changes.stops_bouts(payload.get("changed", ())):
        return HoldRaised("all", "something_changed")
    return None


def _told(payload: dict) -> tuple[str, dict]:
    """A correction may come before its target and be nonsense; what fits shows its kind."""
    for kind in HOLDING_KINDS:
        try:
            return kind, PAYLOADS[kind](payload)
        except InvalidEntry:
            continue
    return "other", {}
