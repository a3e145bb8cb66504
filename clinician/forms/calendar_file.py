"""At what time a patient's own calendar is to ring, and in which language it says so."""

from datetime import time

from django import forms

from clinician.forms.base import PlainForm
from homeprogram.calc.reminders import QuietHours
from homeprogram.calc.texts import LANGUAGES


class TimeInput(forms.TimeInput):
    input_type = "time"


class CalendarFileForm(PlainForm):
    at = forms.TimeField(
        label="Time of day",
        help_text="As agreed with the patient; where the patient is.",
        widget=TimeInput(format="%H:%M"),
    )
    language = forms.ChoiceField(label="Language", choices=list(LANGUAGES.items()))

    def clean_at(self) -> time:
        wall, quiet = self.cleaned_data["at"], QuietHours()
        if quiet.covers(wall):
            hours = f"{quiet.starts:%H:%M} to {quiet.ends:%H:%M}"
            raise forms.ValidationError(f"Choose a time outside the quiet hours, {hours}.")
        return wall.replace(second=0, microsecond=0)
