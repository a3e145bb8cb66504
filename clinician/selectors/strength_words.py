"""A strength test in words: each index with its error, and what changed since."""

from dataclasses import dataclass
from uuid import UUID

from clinician.selectors.words import day_long, listed
from homeprogram.calc import strength
from homeprogram.calc.guidance import method
from homeprogram.calc.strength_course import DatedTest, change
from homeprogram.calc.strength_findings import NAMES
from homeprogram.models import StrengthTest


@dataclass(frozen=True, slots=True)
class Index:
    name: str
    value: str
    error: str  # plus or minus, or why it is not known
    note: str


@dataclass(frozen=True, slots=True)
class StrengthCard:
    id: UUID
    day: str
    made: str
    how: str
    indices: list[Index]
    findings: list[dict]
    course: str
    since: str
    measures: list[tuple[str, str]]
    shared: str
    shareable: bool


def dated(test: StrengthTest) -> DatedTest:
    return DatedTest(test.on, test.request, test.result)


def strength_card(test: StrengthTest, before: StrengthTest | None) -> StrengthCard:
    """`before` = the test before it that has trials of the involved limb."""
    found = test.result.get("findings", [])
    return StrengthCard(
        id=test.id,
        day=day_long(test.on),
        made=test.recorded_by.name,
        how=_how(test),
        indices=index_lines(test.request, test.result) if test.result else [],
        findings=[one for one in found if one["code"] != "course"],
        course=next((one["message"] for one in found if one["code"] == "course"), ""),
        since=change_said(before, test) if before else "",
        measures=list(_measures(test)),
        shared=f"shared {day_long(test.shared_at.date())}" if test.shared_at else "",
        shareable=test.shared_at is None and _tellable(test),
    )


def _tellable(test: StrengthTest) -> bool:
    """An LSI against a limb that is not sound would flatter; the phone shows none."""
    return test.result.get("lsi_pct") is not None and test.request["other_limb"] == "sound"


def index_lines(request: dict, result: dict) -> list[Index]:
    """What was computed, each with its 95 % error; what is missing says so in the findings."""
    unit, mdc = request["unit"], result["mdc_pct"]
    lines = [
        _one("MVIC, involved limb", result["involved_mvic"], unit, mdc),
        _one("MVIC, other limb", result["uninvolved_mvic"], unit, mdc),
        _one("Strength by body mass", result["nm_per_kg_involved"], "Nm/kg", mdc),
        _ratio("LSI", result["lsi_pct"], mdc, _lsi_note(request)),
        _ratio("EPIC", result["epic_pct"], mdc, "against the other limb before surgery"),
        _evoked(request, result),
    ]
    return [line for line in lines if line]


def _one(name: str, value: float | None, unit: str, mdc: float | None) -> Index | None:
    if value is None:
        return None
    error = None if mdc is None else strength.error_of_one(value, mdc_pct=mdc)
    return Index(name, f"{_cut(value)} {unit}", _plus_minus(error, unit), "")


def _ratio(name: str, value: float | None, mdc: float | None, note: str) -> Index | None:
    if value is None:
        return Index(name, "not given", "", note) if name == "LSI" and note else None
    error = None if mdc is None else strength.error_of_index(value, mdc_pct=mdc)
    return Index(name, f"{_cut(value)} %", _plus_minus(error, "%"), note)


def _lsi_note(request: dict) -> str:
    other = request["other_limb"]
    return "" if other == "sound" else f"unreliable: the other limb is {other}"


def _evoked(request: dict, result: dict) -> Index | None:
    value = result["evoked_pct_mvic"]
    if value is None:
        return None
    of = NAMES[request["evoked_of"]]
    return Index("Evoked fraction", f"{_cut(value)} %", "error not known", f"of the MVIC of {of}")


def _cut(value: float) -> str:
    """Cut, not rounded, to three figures or one decimal: 79.96 must not read as 80."""
    digits = 100 if value < 10 else 10
    return f"{int(value * digits + 1e-6) / digits:g}"


def _plus_minus(error: float | None, unit: str) -> str:
    if error is None:
        return "error not known"
    return f"± {error:.0f} {unit}" if error >= 10 else f"± {error:.2g} {unit}"


def change_said(before: StrengthTest, test: StrengthTest) -> str:
    if not test.result or test.result.get("involved_mvic") is None:
        return ""
    found = change(dated(before), dated(test))
    since = day_long(before.on)
    if found.pct is None:
        return f"Another method or kind of test than on {since}: not compared."
    way = "stronger" if found.pct >= 0 else "weaker"
    said = f"Involved limb {abs(found.pct):.0f} % {way} than on {since}"
    if found.within_error is None:
        return f"{said}; the error of this method is not known."
    if found.within_error:
        return f"{said}: within measurement error ({found.mdc_pct:g} %)."
    return f"{said}: more than measurement error ({found.mdc_pct:g} %)."


def _how(test: StrengthTest) -> str:
    parts = ["maximal" if test.maximal else "not maximal"]
    if test.cleared_on:
        parts.append(f"cleared on {day_long(test.cleared_on)}")
    if test.knee_angle_deg is not None:
        parts.append(f"knee at {test.knee_angle_deg:g}°")
    if test.request:
        known = method(test.request["method"])
        parts.append(known.name if known else "another method")
        parts.append(f"{test.request['mvic_rule']} of the trials")
    return ", ".join(parts)


def _measures(test: StrengthTest):
    if test.observed_contraction:
        yield "Observed contraction", test.get_observed_contraction_display().lower()
    if test.evoked_at:
        said = [f"channel {one['channel']}: {one['value']:g}" for one in test.evoked_at]
        yield "Evoked at", ", ".join(said)
    for measure, angle in (
        ("Flexion", test.flexion_deg),
        ("Extension", test.extension_deg),
        ("Extension lag", test.extension_lag_deg),
    ):
        if angle is not None:
            yield measure, f"{angle:g}°"
    if test.swelling:
        yield "Swelling", test.swelling
    if test.knee_pain is not None:
        yield "Knee pain", f"{test.knee_pain} of 10"
    if test.questionnaire:
        yield test.questionnaire, f"{test.questionnaire_score:g}"


def in_short(card: StrengthCard) -> str:
    """One line for the patient page."""
    said = [f"{one.name} {one.value} ({one.error})" for one in card.indices if one.error]
    said += [f"{name}: {value}" for name, value in card.measures[:1]] if not said else []
    return listed(said) if said else "no figures"
