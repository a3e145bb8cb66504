"""What was said with the patient, written down in half a minute."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from clinician.forms.base import PlainForm, clock_time, count, day, text
from clinician.selectors import choices


class ContactForm(PlainForm):
    way = forms.ChoiceField(label="How", choices=choices.CONTACT_WAYS, widget=forms.RadioSelect)
    direction = forms.ChoiceField(
        label="From whom it came", choices=choices.CONTACT_DIRECTIONS, widget=forms.RadioSelect
    )
    outcome = forms.ChoiceField(
        label="What came of it",
        choices=choices.CONTACT_OUTCOMES,
        widget=forms.RadioSelect,
        help_text="A call they ask for stays open until a later contact in which you spoke.",
    )
    on = day("Day")
    at = clock_time("Time")
    minutes = count("Minutes", 0, 600, "min", required=False, help_text="Empty: not timed.")
    about = forms.ChoiceField(label="About", choices=choices.CONTACT_ABOUT)
    note = text("What was said", 1000, rows=4, required=False)
    close = forms.BooleanField(
        label="Close the flag “wants contact”: this answers it", required=False
    )
    reason = text("Reason kept with the flag", 300, rows=2, required=False)

    def __init__(self, *args: Any, zone: ZoneInfo, flag: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone
        if not flag:
            del self.fields["close"], self.fields["reason"]

    def clean(self) -> dict:
        said = super().clean()
        if said.get("close"):
            if said.get("outcome") != "done":
                self.add_error("close", "Only a contact in which you spoke answers the flag.")
            if not said.get("reason"):
                self.add_error("reason", "Say what you found or did.")
        if said.get("on") and said.get("at"):
            said["moment"] = datetime.combine(said["on"], said["at"], tzinfo=self.zone)
        return said
