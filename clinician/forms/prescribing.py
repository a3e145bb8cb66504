"""The clinic's own stimulators and protocol families."""

from typing import Any

from django import forms

from clinician.forms.base import PlainForm, count, figure, text
from clinician.forms.program_fields import INSIDE
from clinician.selectors import choices

EDGE = "As its manual says."


class StimulatorForm(PlainForm):
    name = text("Name", 80, help_text="A kind, not a brand: what it can do tells it apart.")
    channels = count("Channels", 1, 8)
    unit = forms.ChoiceField(
        label="It shows its intensity in",
        choices=[("mA", "mA"), ("level", "levels of its own")],
        widget=forms.RadioSelect,
    )
    max_intensity = figure("Highest intensity", 1, 999, "", help_text="In that unit.")
    min_frequency_hz = figure("Lowest frequency", 0.5, 200, "Hz", help_text=EDGE)
    max_frequency_hz = figure("Highest frequency", 1, 200, "Hz", help_text=EDGE)
    max_phase_duration_us = figure(
        "Longest phase", 20, 1000, "µs", help_text="One phase, not the whole pulse."
    )
    waveform = forms.ChoiceField(label="Waveform", choices=choices.WAVEFORMS)
    counter = forms.ChoiceField(
        label="Its usage counter counts",
        choices=[("", "it has none"), ("hours", "hours"), ("bouts", "bouts")],
        required=False,
        help_text="Read at a visit and held beside the log.",
    )


class FamilyForm(PlainForm):
    """Figures may stay empty: a family need not say everything."""

    name = text("Name", 80)
    source = text(
        "Source",
        300,
        rows=2,
        help_text="A paper, or who agreed on it and when. It is shown with every comparison.",
    )
    notes = text("Notes", 300, required=False, rows=2)
    pathways = forms.MultipleChoiceField(
        label="Fits these pathways",
        choices=choices.PATHWAYS,
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    waveform = forms.ChoiceField(
        label="Waveform", choices=[("", "not stated"), *choices.WAVEFORMS], required=False
    )
    frequency_hz = figure("Frequency", 1, 200, "Hz", required=False)
    phase_duration_us = figure("Phase duration", 20, 1000, "µs", required=False)
    on_s = figure("On time", 1, 60, "s", required=False)
    off_s = figure("Off time", 1, 300, "s", required=False)
    ramp_up_s = figure("Ramp up", 0, 10, "s", required=False)
    ramp_down_s = figure("Ramp down", 0, 10, "s", required=False)
    ramps_inside_on = forms.ChoiceField(
        label="The ramps are", choices=[("", "not stated"), *INSIDE], required=False
    )
    contractions_per_bout = count("Contractions a bout", 1, 600, required=False)
    bout_min = figure("Or the length of a bout", 1, 240, "min", required=False)
    bouts_per_day = count("Bouts a day", 1, 6, required=False)
    days_per_week = count("Days a week", 1, 7, required=False)
    weeks = count("Course", 1, 104, "weeks", required=False)
    knee_angle_deg = figure("Knee angle", 0, 140, "°", required=False)
    position = text("Position", 120, required=False)
    electrode_cm2 = figure("One pad", 4, 400, "cm²", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.quiet = name not in {"name", "source"}

    def clean(self) -> dict:
        said = super().clean()
        if said.get("contractions_per_bout") and said.get("bout_min"):
            self.add_error("bout_min", "Give the contractions of a bout or its length, not both.")
        if not self.errors and said["on_s"] is None and said["frequency_hz"] is None:
            self.add_error("on_s", "Give at least a timing or a frequency.")
        return said

    def values(self) -> dict:
        """The figures that were said, as a family keeps them."""
        said = {
            name: value for name, value in self.cleaned_data.items() if value not in ("", None, [])
        }
        inside = said.pop("ramps_inside_on", "")
        values = {name: value for name, value in said.items() if name not in {"name", "source"}}
        return values | ({"ramps_inside_on": inside == "yes"} if inside else {})
