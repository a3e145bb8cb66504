"""The home program: every parameter of one revision, and the day it starts."""

from collections.abc import Iterable
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, count, day, figure, text
from clinician.selectors import choices
from homeprogram.calc import dose, exercises

CHANNELS = (1, 2, 3, 4)
EXERCISES = (1, 2, 3, 4, 5)
LEVELS = ("start", "floor", "ceiling")
NO_EXERCISE = [("", "none")]
CATALOGUE = NO_EXERCISE + [
    (one.code, f"{one.name} ({one.contraction_type})") for one in exercises.CATALOGUE
]


class ProgramForm(PlainForm):
    """Bounds here are what the record can hold; what is sensible is the clinician's call."""

    family = forms.CharField(required=False, widget=forms.HiddenInput)

    first_day = day("First day", help_text="Tomorrow or later, in the patient's zone.")
    reason = text("Reason for this revision", 300, rows=2, help_text="Stays on the record.")

    weekdays = forms.MultipleChoiceField(
        label="Days of the week",
        choices=choices.WEEKDAYS,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one day of the week."},
    )
    bouts_per_day = count("Bouts a day", 1, 6)
    minimum_gap_h = figure("At least between bouts", 0, 24, "h")
    contractions_per_bout = count(
        "Contractions a bout", 1, 600, required=False, help_text="Empty: counted from the minutes."
    )
    bout_min = figure(
        "Length of a bout",
        1,
        240,
        "min",
        required=False,
        help_text="Empty: counted from the contractions.",
    )

    stimulator = forms.ChoiceField(label="Stimulator")
    waveform = forms.ChoiceField(label="Waveform", choices=choices.WAVEFORMS)
    frequency_hz = figure("Frequency", 1, 200, "Hz")
    phase_duration_us = figure(
        "Phase duration", 20, 1000, "µs", help_text="One phase, not the whole pulse."
    )
    on_s = figure("On time", 1, 60, "s")
    off_s = figure("Off time", 1, 300, "s")
    ramp_up_s = figure("Ramp up", 0, 10, "s")
    ramp_down_s = figure("Ramp down", 0, 10, "s")
    ramps_inside_on = forms.TypedChoiceField(
        label="The ramps are",
        choices=[("yes", "inside the on time"), ("no", "outside the on time")],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
        help_text="Stimulators differ: read off how this one counts.",
    )
    electrode_cm2 = figure("One pad", 4, 400, "cm²")
    pads = forms.MultipleChoiceField(
        label="Where the pads go", choices=choices.PADS, widget=forms.CheckboxSelectMultiple
    )
    voluntary_in_off = forms.BooleanField(
        label="The patient also tightens the thigh in the rest", required=False
    )

    knee_angle_deg = figure(
        "Knee angle", 0, 140, "°", required=False, help_text="Angle, range, or both."
    )
    knee_range = text(
        "Knee range", 40, required=False, help_text="For exercises that move, like 90 to 45°."
    )
    position = text("Position", 120)

    def __init__(
        self, *args: Any, stimulators: Iterable, kept: Iterable[dict] = (), **kwargs: Any
    ) -> None:
        """`kept` = exercises of the revision before, which need not be in the catalogue."""
        super().__init__(*args, **kwargs)
        self.stimulators = {str(one.id): one for one in stimulators}
        self.fields["stimulator"].choices = [
            (key, f"{one.name} ({one.unit}, up to {one.max_intensity:g})")
            for key, one in self.stimulators.items()
        ]
        for channel in CHANNELS:
            for level in LEVELS:
                label = f"Channel {channel}, {level}"
                self.fields[f"{level}_{channel}"] = figure(label, 0, 999, "", required=False)
        self.kept = {one["code"]: one for one in kept if one["code"] not in exercises.BY_CODE}
        offered = CATALOGUE + [(code, one["name"]) for code, one in self.kept.items()]
        for number in EXERCISES:
            self.fields[f"exercise_{number}"] = forms.ChoiceField(
                label=f"Exercise {number}", choices=offered, required=False
            )
            self.fields[f"how_{number}"] = text("In your own words", 300, required=False, rows=2)
            self.fields[f"how_{number}"].quiet = self.fields[f"exercise_{number}"].quiet = True

    def exercise_of(self, number: int) -> dict | None:
        """As the revision keeps it: the clinician's own words win."""
        code, words = self.cleaned_data[f"exercise_{number}"], self.cleaned_data[f"how_{number}"]
        if code in self.kept:
            return self.kept[code] | ({"how": words} if words else {})
        return exercises.for_phone(code, words) if code else None

    def intensity_rows(self) -> list[tuple[int, list[forms.BoundField]]]:
        return [(c, [self[f"{level}_{c}"] for level in LEVELS]) for c in CHANNELS]

    def exercise_rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        return [(self[f"exercise_{n}"], self[f"how_{n}"]) for n in EXERCISES]

    def clean(self) -> dict:
        said = super().clean()
        if not self.errors:
            self._check_length(said)
            self._check_ramps(said)
            self._check_intensity(said)
            self._check_exercises(said)
        return said

    def _check_length(self, said: dict) -> None:
        """One of contractions and minutes is enough; the other is counted."""
        timing = timing_of(said)
        if said["contractions_per_bout"] is None and said["bout_min"] is None:
            self.add_error(
                "contractions_per_bout", "Give the contractions of a bout, or its minutes."
            )
        elif said["contractions_per_bout"] is None:
            said["contractions_per_bout"] = dose.contractions_in(timing, bout_min=said["bout_min"])
        elif said["bout_min"] is None:
            minutes = dose.bout_minutes(timing, contractions=said["contractions_per_bout"])
            said["bout_min"] = round(minutes, 2)

    def _check_ramps(self, said: dict) -> None:
        ramps = said["ramp_up_s"] + said["ramp_down_s"]
        if said["ramps_inside_on"] and ramps > said["on_s"]:
            self.add_error("ramp_up_s", "The ramps are longer than the on time that holds them.")

    def _check_intensity(self, said: dict) -> None:
        profile = self.stimulators[said["stimulator"]]
        for channel in CHANNELS:
            told = {level: said[f"{level}_{channel}"] for level in LEVELS}
            known = [value for value in told.values() if value is not None]
            if not known:
                continue
            if channel > profile.channels:
                self.add_error(
                    f"start_{channel}", f"This stimulator has {profile.channels} channels."
                )
            if max(known) > profile.max_intensity:
                top = f"This stimulator gives at most {profile.max_intensity:g} {profile.unit}."
                self.add_error(_worst(told, channel), top)
            if told["ceiling"] is not None and max(known) > told["ceiling"]:
                self.add_error(f"ceiling_{channel}", "The ceiling is below the start or the floor.")

    def _check_exercises(self, said: dict) -> None:
        codes = [said[f"exercise_{n}"] for n in EXERCISES if said[f"exercise_{n}"]]
        if not codes:
            self.add_error("exercise_1", "Choose at least one exercise.")
        if len(codes) != len(set(codes)):
            self.add_error("exercise_1", "An exercise is chosen twice.")
        if said["knee_angle_deg"] is None and not said["knee_range"]:
            self.add_error("knee_angle_deg", "State the knee angle or the range.")


def _worst(told: dict, channel: int) -> str:
    level = max((one for one in told if told[one] is not None), key=lambda one: told[one])
    return f"{level}_{channel}"


def timing_of(said: dict) -> dose.Timing:
    inside = dose.RampConvention.INSIDE if said["ramps_inside_on"] else dose.RampConvention.OUTSIDE
    return dose.Timing(said["on_s"], said["off_s"], said["ramp_up_s"], said["ramp_down_s"], inside)
