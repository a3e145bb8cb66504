"""The strength check: trials in, indices with their error and findings out.

What cannot be computed is null and a finding says why.
"""

from homeprogram.calc import strength
from homeprogram.calc.course import CourseRules
from homeprogram.calc.guidance import limits, method
from homeprogram.calc.strength_findings import strength_findings
from homeprogram.calc.strength_request import StrengthTest, read_strength

# With a joint operated on the other side, dividing by it means nothing; an
# arthritic or detrained limb flatters, and says so.
NO_LSI = ("operated",)
DECIMALS = 6


def course_rules(overrides: dict | None = None) -> CourseRules:
    """The guidance's own course rules, with the clinic's values over them."""
    known = limits()
    rules = {
        "weeks_post_operative": known["course_weeks_post_operative"].value,
        "weeks_conservative": known["course_weeks_conservative"].value,
        "weeks_pre_operative": known["course_weeks_pre_operative"].value,
        "lsi_pct": known["course_lsi"].value,
    }
    return CourseRules(**{name: (overrides or {}).get(name, rules[name]) for name in rules})


def strength_check(request: dict, *, rules: CourseRules | None = None) -> dict:
    """The reply of POST /api/v1/strength-check/ as plain data.

    `involved_mvic` and `uninvolved_mvic` are in the unit of the request.
    `trial_spread_pct` is that of the involved limb's best two trials. Raises
    ImpossibleStrength.
    """
    test = read_strength(request)
    reply = _indices(request, test)
    found = strength_findings(request, test, reply, rules=rules or course_rules())
    rounded = {
        name: round(value, DECIMALS) if isinstance(value, float) else value
        for name, value in reply.items()
    }
    return {**rounded, "findings": [vars(finding) for finding in found]}


def _indices(request: dict, test: StrengthTest) -> dict:
    known = method(request.get("method") or "")
    return {
        "involved_mvic": test.involved,
        "uninvolved_mvic": test.uninvolved,
        "lsi_pct": _lsi(request, test),
        "epic_pct": _ratio(test.involved, test.preop),
        "nm_per_kg_involved": test.nm_per_kg(test.involved),
        "evoked_pct_mvic": _evoked(request, test),
        "trial_spread_pct": strength.trial_spread_pct(request.get("involved") or []),
        "mdc_pct": known.mdc_pct if known else None,
    }


def _lsi(request: dict, test: StrengthTest) -> float | None:
    if request["other_limb"] in NO_LSI:
        return None
    return _ratio(test.involved, test.uninvolved)


def _ratio(involved: float | None, reference: float | None) -> float | None:
    if involved is None or reference is None:
        return None
    return strength.index_pct(involved, reference)


def _evoked(request: dict, test: StrengthTest) -> float | None:
    reference = test.reference_of_evoked.get(request.get("evoked_of"))
    if test.evoked is None or reference is None:
        return None
    return strength.evoked_pct(test.evoked, mvic_named=reference)
