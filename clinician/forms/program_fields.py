"""Every field of the program form, as the desk draws it. Rules stand in program.py."""

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms
from django.utils.html import format_html

from clinician.forms.base import PlainForm, count, day, figure, text
from clinician.selectors import choices
from homeprogram.calc import exercises

CHANNELS = (1, 2, 3, 4)
EXERCISES = (1, 2, 3, 4, 5)
LEVELS = ("start", "floor", "ceiling")
TEMPO = ("lift", "hold", "lower")
CATALOGUE = [("", "none")] + [
    (one.code, f"{one.name} ({one.contraction_type}{', standing' if one.standing else ''})")
    for one in exercises.CATALOGUE
]
TYPES = [("", "as listed")] + [(one, one) for one in exercises.CONTRACTION_TYPES]
PAD_SHAPES = [("rectangle", "rectangle"), ("round", "round"), ("area", "I know the area")]
INSIDE = [("yes", "inside the on time"), ("no", "outside the on time")]


class ProgramFields(PlainForm):
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
    contractions_per_bout = count("Contractions a bout", 1, 600, required=False)
    bout_min = figure(
        "Or its length",
        1,
        240,
        "min",
        required=False,
        help_text="Leave one of the two empty: it is counted from the other.",
    )
    weeks = count("Course", 1, 104, "weeks", required=False, help_text="Empty: 6.")

    stimulator = forms.ChoiceField(label="Stimulator")
    waveform = forms.ChoiceField(label="Waveform", choices=choices.WAVEFORMS)
    frequency_hz = figure("Frequency", 1, 200, "Hz")
    phase_duration_us = figure(
        "Phase duration", 20, 1000, "µs", help_text="One phase, not the whole pulse."
    )
    second_phase_duration_us = figure(
        "Second phase", 20, 20_000, "µs", required=False, help_text="Of an asymmetric pulse."
    )
    burst_ms = figure(
        "Length of a burst",
        0.2,
        1000,
        "ms",
        required=False,
        help_text="The carrier follows from the phase: 200 µs is 2500 Hz.",
    )
    on_s = figure("On time", 1, 60, "s")
    off_s = figure("Off time", 1, 300, "s")
    ramp_up_s = figure("Ramp up", 0, 10, "s")
    ramp_down_s = figure("Ramp down", 0, 10, "s")
    ramps_inside_on = forms.TypedChoiceField(
        label="The ramps are",
        choices=INSIDE,
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
        help_text="Stimulators differ: read off how this one counts.",
    )
    voluntary_in_off = forms.BooleanField(
        label="The patient also tightens the thigh in the rest", required=False
    )

    pads = forms.MultipleChoiceField(
        label="Where the pads go", choices=choices.PADS, widget=forms.CheckboxSelectMultiple
    )
    pad_shape = forms.ChoiceField(label="Shape of a pad", choices=PAD_SHAPES, required=False)
    pad_width_cm = figure("Width", 1, 30, "cm", required=False)
    pad_height_cm = figure("Height", 1, 30, "cm", required=False)
    pad_diameter_cm = figure("Diameter", 1, 22, "cm", required=False)
    electrode_cm2 = figure(
        "Area of one pad", 4, 400, "cm²", required=False, help_text="Counted from shape and size."
    )

    observed = forms.ChoiceField(
        label="Contraction from the current alone, at the floor",
        choices=[("", "not written down"), *choices.OBSERVED],
        required=False,
    )
    evoked_pct = figure(
        "Or evoked fraction",
        0,
        150,
        "% of MVIC",
        required=False,
        help_text="Only where a maximal test is cleared. 50 % is a target, not a pass mark.",
    )
    leads_changed = forms.BooleanField(
        label="The leads, or where the pads sit, changed since then", required=False
    )
    found_anew = forms.BooleanField(
        label="Start, floor and ceiling were found anew with what changed", required=False
    )

    knee_angle_deg = figure(
        "Knee angle", 0, 140, "°", required=False, help_text="Angle, range, or both."
    )
    knee_range = text(
        "Knee range", 40, required=False, help_text="For exercises that move, like 90 to 45°."
    )
    position = text("Position", 120)
    short_first_week = forms.BooleanField(label="Start with a short first week", required=False)

    def __init__(
        self,
        *args: Any,
        stimulators: Iterable,
        kept: Iterable[dict] = (),
        beside: Mapping[str, str] | None = None,
        **kwargs: Any,
    ) -> None:
        """`kept` = exercises of the revision before, which need not be in the catalogue;
        `beside` = what the family says about a figure, shown at its field."""
        super().__init__(*args, **kwargs)
        self.stimulators = {str(one.id): one for one in stimulators}
        self.fields["stimulator"].choices = [("", "choose one")] + [
            (key, f"{one.name} ({one.unit}, up to {one.max_intensity:g})")
            for key, one in self.stimulators.items()
        ]
        self.kept = {one["code"]: one for one in kept if one["code"] not in exercises.BY_CODE}
        self._add_channels()
        self._add_exercises()
        for name, said in (beside or {}).items():
            self._put_beside(name, said)

    def _add_channels(self) -> None:
        for channel in CHANNELS:
            for level in LEVELS:
                label = f"Channel {channel}, {level}"
                self.fields[f"{level}_{channel}"] = figure(label, 0, 999, "", required=False)

    def _add_exercises(self) -> None:
        offered = CATALOGUE + [(code, one["name"]) for code, one in self.kept.items()]
        for n in EXERCISES:
            added = {
                f"exercise_{n}": forms.ChoiceField(
                    label=f"Exercise {n}", choices=offered, required=False
                ),
                f"type_{n}": forms.ChoiceField(label="Done as", choices=TYPES, required=False),
                **{
                    f"{part}_{n}": figure(part.capitalize(), 0, 60, "s", required=False)
                    for part in TEMPO
                },
                f"how_{n}": text("In your own words", 300, required=False, rows=2),
            }
            for field in added.values():
                field.quiet = True  # five times "optional" would be noise
            self.fields |= added

    def _put_beside(self, name: str, said: str) -> None:
        if field := self.fields.get(name):
            field.help_text = format_html(
                '{} <span class="said-by">{}</span>', field.help_text, said
            )

    def intensity_rows(self) -> list[tuple[int, list[forms.BoundField]]]:
        return [(c, [self[f"{level}_{c}"] for level in LEVELS]) for c in CHANNELS]

    def exercise_rows(self) -> list[dict]:
        return [self._exercise_row(n) for n in EXERCISES]

    def _exercise_row(self, n: int) -> dict:
        names = [f"exercise_{n}", f"type_{n}", *(f"{part}_{n}" for part in TEMPO), f"how_{n}"]
        return {
            "number": n,
            "exercise": self[f"exercise_{n}"],
            "type": self[f"type_{n}"],
            "tempo": [self[f"{part}_{n}"] for part in TEMPO],
            "how": self[f"how_{n}"],
            "open": n == 1 or any(self[name].value() or self[name].errors for name in names),
        }
