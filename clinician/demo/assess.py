"""What the demo clinic found, was told and measured: by procedure, invented."""

from dataclasses import dataclass
from datetime import date, timedelta

from homeprogram.calc.guidance import screening_conditions
from homeprogram.calc.screening import Answer

SURGEON = "Dr Ama Lind, letter"
FOUND = {
    "Total knee replacement": {
        "recent_surgery": "Wound dry; pads a hand's breadth off it. Surgeon agrees.",
        "metal_implant": "",
    },
    "Anterior cruciate ligament reconstruction": {
        "recent_surgery": "Wound closed; surgeon agrees to start.",
        "restricted_loading": "Knee fixed at the angle the surgeon allows.",
        "numb_patch": "Numb below the scar; the lower pad sits above its edge.",
    },
}


@dataclass(frozen=True, slots=True)
class Told:
    """A surgeon's limit; its days count from surgery."""

    kind: str
    detail: str
    first: int
    last: int | None = None
    from_deg: float | None = None
    to_deg: float | None = None

    def values(self, surgery: date) -> dict:
        return {
            "kind": self.kind,
            "detail": self.detail,
            "said_by": SURGEON,
            "first_day": surgery + timedelta(days=self.first),
            "last_day": None if self.last is None else surgery + timedelta(days=self.last),
            "from_deg": self.from_deg,
            "to_deg": self.to_deg,
        }


LIMITS = {
    "Total knee replacement": (Told("weight_bearing", "full weight as tolerated, two sticks", 0),),
    "Anterior cruciate ligament reconstruction": (
        Told("range_of_motion", "no active straightening beyond 45 degrees", 0, 42, 45, 120),
        Told("graft", "no load on a moving, open chain before week 12", 0, 84),
        Told("maximal_test", "isometric, knee at 90 degrees", 28),
    ),
}


def answers_for(procedure: str) -> dict[str, Answer]:
    """Every condition, most of them absent."""
    found = FOUND.get(procedure, {})
    return {
        one.code: Answer(present=one.code in found, note=found.get(one.code, ""))
        for one in screening_conditions()
    }


def strength_request(involved: list[float], other: list[float], weeks: tuple[int, int]) -> dict:
    """Both limbs in newtons, held by a strap at 0.35 m, after ligament repair."""
    return {
        "involved": involved,
        "uninvolved": other,
        "unit": "N",
        "lever_arm_m": 0.35,
        "body_mass_kg": 76.0,
        "preop_uninvolved": 590.0,
        "evoked": None,
        "evoked_of": None,
        "mvic_rule": "best",
        "method": "hand_held_fixed",
        "other_limb": "sound",
        "pathway": "post_operative",
        "weeks_since_start": weeks[0],
        "weeks_since_surgery": weeks[1],
    }
