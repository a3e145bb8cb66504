"""What there is to say about a strength test: thresholds, error, what is missing."""

from homeprogram.calc import strength
from homeprogram.calc.course import CourseRules, course_review
from homeprogram.calc.findings import NOTICE, WITHIN, Finding, note, source_text
from homeprogram.calc.guidance import Limit, Source, limits, method
from homeprogram.calc.strength_request import StrengthTest, unusual_unit

COMMON = Source("Common practice, no source")
CLINIC = Source("Course rules: common practice, no source, or the clinic's own values")
DEFINITION = Source("Definition")
# An involved limb this much stronger than the other is more often a mix-up.
SWAPPED_LSI = 110.0
LIMBS = {"involved": "Involved limb", "uninvolved": "Other limb"}
NAMES = {
    "involved": "the involved limb, same day",
    "uninvolved": "the other limb, same day",
    "preop": "the other limb before surgery",
}


def strength_findings(
    request: dict, test: StrengthTest, reply: dict, *, rules: CourseRules
) -> list[Finding]:
    return [
        *_slips(test),
        *_trials("involved", request.get("involved") or []),
        *_trials("uninvolved", request.get("uninvolved") or []),
        *_error(request),
        *_lsi(request, reply),
        *_epic(reply),
        *_relative(reply),
        *_evoked(request, test, reply),
        *_course(request, reply, rules),
    ]


def _slips(test: StrengthTest) -> list[Finding]:
    found = []
    unit = unusual_unit(test)
    if unit:
        value = test.involved or test.uninvolved
        message = f"{value:g} {test.unit} is unusual for a knee. Was it {value:g} {unit}?"
        found.append(_common("unit_slip", message))
    if test.involved and test.uninvolved:
        ratio = strength.index_pct(test.involved, test.uninvolved)
        if ratio > SWAPPED_LSI:
            message = (
                f"The involved limb is stronger ({test.involved:g} against"
                f" {test.uninvolved:g} {test.unit}). Are the limbs swapped?"
            )
            found.append(_common("limbs_swapped", message))
    return found


def _common(code: str, message: str, level: str = NOTICE) -> Finding:
    return note(code, message, level=level, source=COMMON, mark="common practice")


def _missing(code: str, message: str) -> Finding:
    return note(code, message, level=NOTICE, source=DEFINITION)


def _trials(limb: str, trials: list[float]) -> list[Finding]:
    spread = strength.trial_spread_pct(trials)
    if spread is None:
        message = f"{LIMBS[limb]}: fewer than two trials, so no spread."
        return [_missing(f"trials_{limb}_few", message)]
    limit = limits()["trials_apart"]
    if spread <= limit.value:
        verdict, level = "within", WITHIN
    else:
        verdict, level = "more than", NOTICE
    message = (
        f"{LIMBS[limb]}: the best two trials differ by {spread:.1f} %, {verdict} {limit.value:g} %."
    )
    if level == NOTICE:
        message += " Rest and repeat."
    return [_limit_finding(f"trials_{limb}", message, limit, level)]


def _limit_finding(code: str, message: str, limit: Limit, level: str) -> Finding:
    return Finding(code, level, message, source_text(limit.source), limit.mark)


def _error(request: dict) -> list[Finding]:
    known = method(request.get("method") or "")
    if known is None:
        message = "The error of this method is not known: borderline cannot be judged."
        return [_missing("mdc_unknown", message)]
    message = (
        f"{known.name}: a change below {known.mdc_pct:g} % may be measurement error. {known.means}"
    )
    source = source_text(known.source)
    return [Finding("measurement_error", WITHIN, message, source, known.mark)]


def _lsi(request: dict, reply: dict) -> list[Finding]:
    other, lsi = request["other_limb"], reply["lsi_pct"]
    found = []
    if other != "sound":
        message = (
            f"The other limb is {other}: LSI is"
            f" {'not given' if lsi is None else 'unreliable and flatters'}."
            " Nm/kg and the limb's own baseline stand in."
        )
        found.append(_common("lsi_unreliable", message))
    elif lsi is None:
        message = "No LSI: it takes a test of both limbs."
        found.append(_missing("lsi_missing", message))
    if lsi is None:
        return found
    thresholds = [limits()[code] for code in ("course_lsi", "lsi_low", "lsi_sport")]
    return [*found, *(_at_least(lsi, x, reply["mdc_pct"], "LSI", "%") for x in thresholds)]


def _at_least(
    value: float, limit: Limit, error_pct: float | None, label: str, unit: str
) -> Finding:
    """A figure against a threshold it should reach, and whether error blurs that."""
    met = value >= limit.value
    # Cut, not rounded: 79.96 must not read as 80.0 and yet fail.
    shown = int(value * 100 + 1e-6) / 100
    message = (
        f"{label} {shown:.4g} {unit}: {'at least' if met else 'below'}"
        f" {limit.value:g} {unit}. {limit.value:g} {unit}: {limit.means}"
    )
    blurred = error_pct is not None and strength.borderline(
        value, threshold=limit.value, error_pct=error_pct
    )
    if blurred:
        message += " Within measurement error of it: borderline, repeat."
    level = WITHIN if met and not blurred else NOTICE
    return _limit_finding(limit.code, message, limit, level)


def _epic(reply: dict) -> list[Finding]:
    if reply["epic_pct"] is None:
        message = (
            "No EPIC: it takes a test of the other limb before surgery. LSI alone"
            " flatters, for the other limb weakens too."
        )
        return [_missing("epic_missing", message)]
    limit = limits()["epic_sport"]
    return [_at_least(reply["epic_pct"], limit, reply["mdc_pct"], "EPIC", "%")]


def _relative(reply: dict) -> list[Finding]:
    relative = reply["nm_per_kg_involved"]
    if relative is None:
        message = "No Nm/kg: it takes body mass, and a lever arm where a force was tested."
        return [_missing("nm_per_kg_missing", message)]
    limit, error = limits()["nm_per_kg_strong"], reply["mdc_pct"]
    # One test against a fixed mark: half the error variance of a change.
    error = None if error is None else error / 2**0.5
    return [_at_least(relative, limit, error, "Strength", "Nm/kg")]


def _evoked(request: dict, test: StrengthTest, reply: dict) -> list[Finding]:
    evoked = reply["evoked_pct_mvic"]
    if test.evoked is None:
        return []
    if evoked is None:
        message = "No evoked fraction: name the MVIC it is a fraction of, and test it."
        return [_missing("evoked_missing", message)]
    name = NAMES[request["evoked_of"]]
    target, floor = limits()["evoked_target"], limits()["evoked_floor"]
    shown = int(evoked * 100 + 1e-6) / 100
    start = f"Evoked {shown:.4g} % of the MVIC of {name}"
    if evoked >= target.value:
        message = f"{start}: reaches the {target.value:g} % that count as strong enough."
        return [_limit_finding("evoked_target", message, target, WITHIN)]
    message = f"{start}: below {target.value:g} %, {target.means}"
    found = [_limit_finding("evoked_target", message, target, NOTICE)]
    if evoked < floor.value:
        message = f"{start}: below {floor.value:g} %, {floor.means}"
        found.append(_limit_finding("evoked_floor", message, floor, NOTICE))
    return found


def _course(request: dict, reply: dict, rules: CourseRules) -> list[Finding]:
    review = course_review(
        pathway=request["pathway"],
        weeks_since_start=request["weeks_since_start"],
        weeks_since_surgery=request.get("weeks_since_surgery"),
        lsi_pct=reply["lsi_pct"],
        lsi_reliable=request["other_limb"] == "sound",
        rules=rules,
    )
    level = WITHIN if review.may_review else NOTICE
    return [note("course", review.message, level=level, source=CLINIC, mark="common practice")]
