"""A strength test: trials of both limbs, what they need to be read, and what was seen."""

from typing import Any

from django import forms

from clinician.forms.base import PlainForm, count, day, figure, text
from homeprogram.calc import guidance, strength
from homeprogram.calc.first_dose import OBSERVED_CONTRACTIONS
from homeprogram.calc.limits import INTENSITY_MAX_LEVEL

TRIALS = (1, 2, 3, 4, 5)
# Wide on purpose: a slip of the unit has to reach the check that names it.
MOST = 100_000
LESS_IS_NOTHING = 0.001
METHODS = [(one.code, one.name) for one in guidance.methods()] + [
    ("other", "Another: its error is not known")
]
OTHER_LIMBS = [
    ("sound", "sound"),
    ("operated", "operated too"),
    ("arthritic", "arthritic"),
    ("detrained", "detrained"),
]
EVOKED_OF = [
    ("", "not measured"),
    ("involved", "the involved limb, same day"),
    ("uninvolved", "the other limb, same day"),
    ("preop", "the other limb before surgery"),
]
OBSERVED = [("", "not looked for")] + [
    (code, code.replace("_", " the ") if code == "moves_patella" else code)
    for code in OBSERVED_CONTRACTIONS
]
MEASURES = (
    "flexion_deg",
    "extension_deg",
    "extension_lag_deg",
    "swelling",
    "knee_pain",
    "questionnaire",
    "questionnaire_score",
)


class StrengthTestForm(PlainForm):
    on = day("Day of the test")
    maximal = forms.ChoiceField(
        label="Was a maximal effort asked for?",
        choices=[("yes", "Yes"), ("no", "No")],
        widget=forms.RadioSelect,
        error_messages={"required": "Answer yes or no."},
    )
    cleared_on = day("Cleared for a maximal effort on", required=False)
    knee_angle_deg = figure("Knee angle", 0, 140, "°", required=False)

    method = forms.ChoiceField(label="Method", choices=METHODS)
    unit = forms.ChoiceField(label="Unit", choices=[(one, one) for one in strength.UNITS])
    mvic_rule = forms.ChoiceField(
        label="MVIC is",
        choices=[("best", "the best trial"), ("mean", "the mean of the trials")],
        widget=forms.RadioSelect,
        initial="best",
    )
    other_limb = forms.ChoiceField(
        label="The other limb is", choices=OTHER_LIMBS, widget=forms.RadioSelect, required=False
    )
    lever_arm_m = figure(
        "Lever arm", 0, MOST, "m", required=False, help_text="Knee joint line to the pad."
    )
    body_mass_kg = figure("Body mass", 0, MOST, "kg", required=False)
    preop_uninvolved = figure(
        "Other limb before surgery",
        LESS_IS_NOTHING,
        MOST,
        "",
        required=False,
        help_text="Its MVIC then, in the same unit: for EPIC.",
    )
    evoked = figure(
        "Evoked by the current alone",
        LESS_IS_NOTHING,
        MOST,
        "",
        required=False,
        help_text="In the same unit and position.",
    )
    evoked_of = forms.ChoiceField(label="As a fraction of", choices=EVOKED_OF, required=False)
    evoked_at_1 = figure(
        "Measured at, channel 1",
        0,
        INTENSITY_MAX_LEVEL,
        "",
        required=False,
        help_text="As the stimulator shows it.",
    )
    evoked_at_2 = figure("Measured at, channel 2", 0, INTENSITY_MAX_LEVEL, "", required=False)
    observed_contraction = forms.ChoiceField(
        label="Observed contraction",
        choices=OBSERVED,
        required=False,
        help_text="Instead of trials where a maximal effort is not cleared.",
    )

    flexion_deg = figure("Flexion", -20, 170, "°", required=False)
    extension_deg = figure(
        "Extension", -30, 90, "°", required=False, help_text="0 = straight, minus = beyond."
    )
    extension_lag_deg = figure("Extension lag", 0, 90, "°", required=False)
    swelling = text("Swelling", 40, required=False, help_text="As you grade it, or in cm.")
    knee_pain = count("Knee pain", 0, 10, "of 10", required=False)
    questionnaire = text("Questionnaire", 60, required=False, help_text="Its name.")
    questionnaire_score = figure("Its score", -1000, 1000, "", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for limb, name in (("involved", "Involved limb"), ("uninvolved", "Other limb")):
            for number in TRIALS:
                field = figure(f"{name}, trial {number}", LESS_IS_NOTHING, MOST, "", required=False)
                field.quiet = True
                self.fields[f"{limb}_{number}"] = field
        self.fields["other_limb"].quiet = True  # asked for once there is something to compare
        self.say_plainly()

    def trial_rows(self) -> list[tuple[str, list[forms.BoundField]]]:
        return [
            ("Involved limb", [self[f"involved_{n}"] for n in TRIALS]),
            ("Other limb", [self[f"uninvolved_{n}"] for n in TRIALS]),
        ]

    def clean(self) -> dict:
        said = super().clean()
        if bool(said.get("questionnaire")) != (said.get("questionnaire_score") is not None):
            self.add_error("questionnaire_score", "Give a questionnaire's name and its score.")
        if said.get("evoked") is not None and not said.get("evoked_of"):
            self.add_error("evoked_of", "Name the MVIC it is a fraction of.")
        if said.get("evoked") is None and self.evoked_at():
            self.add_error("evoked", "Give what the current evoked at this intensity.")
        if self._measured() and not said.get("other_limb"):
            self.add_error("other_limb", "Say how the other limb is: an LSI depends on it.")
        return said

    def trials(self, limb: str) -> list[float]:
        said = self.cleaned_data
        values = [said.get(f"{limb}_{number}") for number in TRIALS]
        return [value for value in values if value is not None]

    def evoked_at(self) -> list[dict]:
        """The intensity of each channel while the current alone was measured."""
        values = {channel: self.cleaned_data.get(f"evoked_at_{channel}") for channel in (1, 2)}
        return [{"channel": c, "value": v} for c, v in values.items() if v is not None]

    def _measured(self) -> bool:
        trials = self.trials("involved") + self.trials("uninvolved")
        return bool(trials) or self.cleaned_data.get("evoked") is not None

    def request(self, course: dict) -> dict | None:
        """As the strength check wants it; None where nothing was measured."""
        said = self.cleaned_data
        if not self._measured():
            return None
        names = (
            "unit",
            "lever_arm_m",
            "body_mass_kg",
            "preop_uninvolved",
            "evoked",
            "mvic_rule",
            "method",
            "other_limb",
        )
        asked = {name: said[name] for name in names}
        trials = {limb: self.trials(limb) for limb in ("involved", "uninvolved")}
        return trials | asked | {"evoked_of": said["evoked_of"] or None} | course

    def measures(self) -> dict:
        said = self.cleaned_data
        return {name: said[name] for name in MEASURES if said[name] not in {"", None}}
