"""At what time a patient's own calendar is to ring, and in which language it says so."""

from datetime import time

from django import forms

from clinician.forms.base import PlainForm, clock_time
from homeprogram.calc.reminders import QuietHours
from homeprogram.calc.texts import LANGUAGES


class CalendarFileForm(PlainForm):
    at = clock_time("Time of day", help_text="As agreed with the patient; where the patient is.")
    language = forms.ChoiceField(label="Language", choices=list(LANGUAGES.items()))

    def __init__(self, *args, quiet: QuietHours, **kwargs) -> None:
        self.quiet = quiet
        super().__init__(*args, **kwargs)

    def clean_at(self) -> time:
        wall, quiet = self.cleaned_data["at"], self.quiet
        if quiet.covers(wall):
            hours = f"{quiet.starts:%H:%M} to {quiet.ends:%H:%M}"
            raise forms.ValidationError(f"Choose a time outside the quiet hours, {hours}.")
        return wall.replace(second=0, microsecond=0)
