"""What is agreed with a patient about reminders."""

import re
from datetime import time

from django import forms

from clinician.forms.base import PlainForm, clock_time, text
from clinician.models import Way
from homeprogram.calc.reminders import QuietHours
from homeprogram.calc.texts import FIRST, LANGUAGES

TIMES_MOST = 3
MOBILE = re.compile(r"\+[1-9]\d{6,14}")  # ITU-T E.164


def wall(label: str, *, required: bool = False, help_text: str = "") -> forms.TimeField:
    field = clock_time(label, required=required, help_text=help_text)
    field.quiet = True
    return field


class ReminderForm(PlainForm):
    on = forms.BooleanField(label="Send reminders", required=False)
    time_1 = wall("At", help_text="Where the patient is.")
    time_2 = wall("or, if nothing went out by then, at")
    time_3 = wall("or at")
    ways = forms.MultipleChoiceField(
        label="By",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="The first that works takes it; no patient gets a reminder twice.",
    )
    email = forms.EmailField(label="E-mail address", required=False)
    mobile = text(
        "Mobile number", 20, required=False, help_text="With + and the country: +441632960123."
    )
    language = forms.ChoiceField(label="Language", choices=list(LANGUAGES.items()), initial=FIRST)
    again = forms.MultipleChoiceField(
        label="The patient stopped these and has asked for them again",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(
        self, *args, open_ways: list[Way], stopped: list[str], quiet: QuietHours, **kwargs
    ) -> None:
        super().__init__(*args, **kwargs)
        self.quiet = quiet
        self.fields["ways"].choices = [(way, way.label) for way in open_ways]
        if stopped:
            self.fields["again"].choices = [(way, Way(way).label) for way in stopped]
        else:
            del self.fields["again"]
        if Way.TEXT not in open_ways:
            del self.fields["mobile"]
        self.fields["ways"].quiet = True
        for name in ("email", "mobile"):
            if name in self.fields:
                self.fields[name].quiet = True
                self.fields[name].widget.attrs["autocomplete"] = "off"

    def clean_mobile(self) -> str:
        number = re.sub(r"[\s()./-]", "", self.cleaned_data["mobile"])
        if number and not MOBILE.fullmatch(number):
            raise forms.ValidationError("Write it with + and the country, digits only.")
        return number

    def clean(self) -> dict:
        said = super().clean()
        for n in range(1, TIMES_MOST + 1):
            self._refuse_the_night(f"time_{n}", said.get(f"time_{n}"))
        self._ask_for("email", Way.EMAIL)
        self._ask_for("mobile", Way.TEXT)
        return said

    def _refuse_the_night(self, name: str, at: time | None) -> None:
        if at and self.quiet.covers(at):
            hours = f"{self.quiet.starts:%H:%M} to {self.quiet.ends:%H:%M}"
            self.add_error(name, f"Choose a time outside the quiet hours, {hours}.")

    def _ask_for(self, name: str, way: Way) -> None:
        chosen = self.cleaned_data.get("ways", [])
        asked = way in chosen and name in self.fields and name not in self.errors
        if asked and not self.cleaned_data.get(name):
            self.add_error(name, "Fill this in, or choose another way.")

    def agreed(self) -> dict:
        """As the service takes it."""
        said = self.cleaned_data
        times = [said[f"time_{n}"] for n in range(1, TIMES_MOST + 1)]
        return {
            "on": said["on"],
            "times": [at for at in times if at],
            "ways": said["ways"],
            "asked_again": said.get("again", []),
            "email": said["email"],
            "language": said["language"],
        } | ({"mobile": said["mobile"]} if "mobile" in said else {})
