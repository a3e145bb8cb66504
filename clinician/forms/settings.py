"""Quiet hours, hours of duty, the adherence bar and how long records are kept."""

from dataclasses import asdict
from datetime import time
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, clock_time, count
from homeprogram.calc.clinic_settings import SETTING_BOUNDS, ClinicSettings

# name: label, unit, what it does
COUNTS = {
    "unseen_h": (
        "A safety flag unseen goes on after",
        "h of duty",
        "First to the cover, after as long again to the lead.",
    ),
    "adherence_bar_pct": (
        "Adherence as agreed: at least",
        "% of due bouts",
        "A line to compare with; it raises no flag.",
    ),
    "retention_years": (
        "Records are kept after discharge for",
        "years",
        "Local law decides. Nothing of it is ever removed by itself.",
    ),
    "photo_days": (
        "A photo of the skin is kept for",
        "days",
        "Then it is removed by itself; what the skin check says stays.",
    ),
}
PHOTOS = "Only from patients who agreed to them. Local law on pictures of patients comes first."
TIMES = {
    "quiet_from": ("No reminders from", "In the patient's own zone."),
    "quiet_until": ("... until", ""),
    "duty_from": ("Hours of duty from", "In the clinic's zone, on days with anybody on duty."),
    "duty_until": ("... until", ""),
}


class ClinicSettingsForm(PlainForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ours = ClinicSettings()
        for name, (label, told) in TIMES.items():
            usual = f"Usual: {getattr(ours, name):%H:%M}. {told}".strip()
            self.fields[name] = clock_time(label, help_text=usual)
        for name, (label, unit, told) in COUNTS.items():
            usual = f"Usual: {getattr(ours, name)}. {told}"
            low, high = SETTING_BOUNDS[name]
            self.fields[name] = count(label, low, high, unit, help_text=usual)
        self.fields["photos"] = forms.BooleanField(
            label="Take photos of the skin with skin checks", required=False, help_text=PHOTOS
        )
        self.say_plainly()

    @staticmethod
    def initial_of(clinic) -> dict:
        return asdict(ClinicSettings.of_clinic(clinic.settings))

    def clean(self) -> dict:
        said = super().clean()
        if not self.errors:
            if said["duty_from"] >= said["duty_until"]:
                self.add_error("duty_until", "Later than their beginning.")
            if said["quiet_from"] == said["quiet_until"]:
                self.add_error("quiet_until", "At another time than their beginning.")
        return said

    def own_settings(self) -> dict:
        """Only what differs from ours, as the record keeps it."""
        ours = asdict(ClinicSettings())
        said = {name: self.cleaned_data[name] for name in (*TIMES, *COUNTS, "photos")}
        return {
            name: f"{value:%H:%M}" if isinstance(value, time) else value
            for name, value in said.items()
            if value != ours[name]
        }
