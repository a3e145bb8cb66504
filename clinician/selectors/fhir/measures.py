"""What is measured, asked for or felt: the codes of Observations and of their components."""

from collections.abc import Iterable
from typing import Any

from clinician.selectors.fhir.values import LOINC, Part, concept, quantity, text, told

NAMES = {
    "bout": "Bout of neuromuscular electrical stimulation, as done",
    "supervised_bout": "Bout under a clinician's eyes",
    "dose": "Dose as prescribed, of one revision",
    "skin_check": "Skin check at home, the worst pad, 0 to 4",
    "skin_at_pad": "Skin at one pad, 0 to 4",
    "morning_check": "Morning check",
    "stop_report": "Stop report",
    "strength_test": "Strength test of the knee extensors",
    "visit": "Measured at a visit",
    "written_down": "When it was written down",
    "moment": "Before or after the bout, or next morning",
    "minutes": "Length of the bout",
    "contractions": "Contractions",
    "discomfort": "Discomfort from the current during the bout, 0 to 10",
    "knee_pain": "Knee pain, 0 to 10",
    "knee_pain_before": "Knee pain before the bout, 0 to 10",
    "knee_pain_after": "Knee pain after the bout, 0 to 10",
    "swelling": "Swelling",
    "colour": "Colour of the skin beside the skin around it",
    "pattern": "Pattern of the colour",
    "raised": "Raised",
    "itchy": "Itchy",
    "sore": "Sore",
    "broken": "Blister, burn or broken skin",
    "minimum_gap_h": "Least time between bouts",
    "waveform": "Waveform",
    "frequency_hz": "Frequency",
    "min_frequency_hz": "Lowest frequency",
    "max_frequency_hz": "Highest frequency",
    "phase_duration_us": "Phase duration",
    "max_phase_duration_us": "Longest phase duration",
    "max_intensity": "Highest intensity",
    "channels": "Channels",
    "on_s": "On time of a contraction",
    "off_s": "Off time after a contraction",
    "ramp_up_s": "Ramp up",
    "ramp_down_s": "Ramp down",
    "ramps_inside_on": "Ramps are inside the on time",
    "voluntary_in_off": "The patient tightens the thigh in the off time",
    "electrode_cm2": "Area of a pad",
    "pads": "Places of the pads",
    "knee_angle_deg": "Knee angle",
    "knee_range": "Range of the knee",
    "position": "Position",
    "involved_mvic": "MVIC of the involved limb",
    "uninvolved_mvic": "MVIC of the other limb",
    "other_limb": "The other limb is",
    "lsi_pct": "LSI: involved limb by the other limb",
    "epic_pct": "EPIC: involved limb by the other limb before surgery",
    "nm_per_kg_involved": "Torque of the involved limb by body mass",
    "evoked_pct_mvic": "Evoked torque or force by a named MVIC",
    "evoked_of": "The MVIC it is held against",
    "trial_spread_pct": "Second-best trial below the best",
    "mdc_pct": "Smallest change beyond error of the method",
    "observed_contraction": "Contraction seen",
    "flexion_deg": "Flexion",
    "extension_deg": "Extension",
    "extension_lag_deg": "Extension lag",
    "lag_deg": "Quadriceps lag",
    "girth_cm": "Thigh girth",
    "girth_other_cm": "Thigh girth, other limb",
    "girth_at_cm": "Girth measured above the kneecap",
    "questionnaire_score": "Score of a questionnaire",
    "skin_before": "Skin grade before the bout, 0 to 4",
    "skin_after": "Skin grade after the bout, 0 to 4",
}
# Pain told on 0 to 10, and only that: discomfort from the current is another question.
PAIN = ("knee_pain", "knee_pain_before", "knee_pain_after")
PAIN_CODING = {
    "system": LOINC,
    "code": "72514-3",
    "display": "Pain severity - 0-10 verbal numeric rating [Score] - Reported",
}
LEVELS = ("start", "floor", "ceiling")


def measure(code: str, more: str = "") -> Part:
    """`more` = said in words beside the name, such as which questionnaire it was."""
    found = concept("measure", code, NAMES[code])
    if code in PAIN:
        found["coding"].insert(0, PAIN_CODING)
    if more:
        found["text"] = text(f"{NAMES[code]}: {more}")
    return found


def figure(code: str, value: float | None, unit: str, more: str = "") -> list[Part]:
    """A component with a number; none where nothing is known."""
    if value is None:
        return []
    return [{"code": measure(code, more), "valueQuantity": quantity(value, unit)}]


def answer(code: str, **value: Any) -> list[Part]:
    """A component with another kind of value: `valueBoolean=True` and so on."""
    known = told(**value)
    return [{"code": measure(code), **known}] if known else []


def intensities(said: Iterable[Part], unit: str = "", of: tuple[str, ...] = LEVELS) -> list[Part]:
    """A component a channel and level; what a bout tells has one level, `value`."""
    return [
        {
            "code": _channel(one["channel"], level),
            "valueQuantity": quantity(one[level], unit or one["unit"]),
        }
        for one in said
        for level in of
        if one.get(level) is not None
    ]


def _channel(number: int, level: str) -> Part:
    named = "" if level == "value" else f"_{level}"
    words = "" if level == "value" else f", {level}"
    return concept(
        "measure", f"intensity{named}_channel_{number}", f"Intensity{words}, channel {number}"
    )
