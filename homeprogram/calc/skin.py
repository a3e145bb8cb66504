"""Grade of a home skin check, derived from facts the patient can see or feel.

Our own home scale, 0 = nothing, 4 = blister, burn or broken skin; common
practice, no source. It is not a laboratory patch test and not a published scale.
"""

from collections.abc import Iterable, Mapping

from homeprogram.calc.limits import GRADE_HOLD

PADS = ("upper_outer", "lower_inner", "upper_inner", "lower_outer")
MOMENTS = ("before", "after", "next_morning")
LATER = ("before", "next_morning")  # a change still there is never slight


def pad_grade(facts: Mapping[str, object], moment: str) -> int:
    """0 none, 1 slight even change, 2 marked, patchy, lasting or itch alone, 3 raised, 4 broken."""
    if facts["broken"]:
        return 4
    if facts["raised"]:
        return 3
    changed = facts["colour"] != "same"
    if facts["colour"] == "marked" or facts["pattern"] == "patchy":
        return 2
    if moment in LATER and (changed or facts["sore"]):
        return 2
    if facts["itchy"] and not changed:
        return 2
    return int(changed or bool(facts["sore"]) or bool(facts["itchy"]))


def check_grade(pads: Iterable[Mapping], moment: str) -> int:
    """The worst pad decides."""
    return max((pad_grade(pad["facts"], moment) for pad in pads), default=0)


def mark_still_there(pads: Iterable[Mapping], moment: str) -> bool:
    """Before a bout any change of colour keeps that spot out of use and excuses the day."""
    return moment == "before" and any(
        pad["facts"]["colour"] != "same" or pad["facts"]["broken"] or pad["facts"]["raised"]
        for pad in pads
    )


def raises_hold(grade: int) -> bool:
    return grade >= GRADE_HOLD
