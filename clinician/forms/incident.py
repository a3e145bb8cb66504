"""What happened, asked in the order in which it is told."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from clinician.forms.base import PlainForm, ReasonForm, clock_time, day, text
from clinician.forms.visit import GRADES
from clinician.selectors import choices


class IncidentForm(PlainForm):
    kind = forms.ChoiceField(
        label="What kind", choices=choices.INCIDENT_KINDS, widget=forms.RadioSelect
    )
    episode = forms.ChoiceField(label="Limb", widget=forms.RadioSelect, required=False)
    on = day("Day it happened")
    at = clock_time("Time", help_text="About, where nobody looked.")
    near = forms.ChoiceField(
        label="Near a bout", choices=choices.INCIDENT_NEAR, widget=forms.RadioSelect
    )
    place = text("Where", 120, required=False)
    facts = text(
        "What happened", 2000, rows=5, help_text="Facts as told and seen; no guess at the cause."
    )
    harm = text("Harm", 500, required=False, rows=2)
    skin_grade = forms.ChoiceField(label="Skin, home grade", choices=GRADES, required=False)
    done = text("What was done at once", 500, required=False, rows=2)
    stimulator = forms.ChoiceField(label="Stimulator of the clinic", required=False)
    stimulator_told = text(
        "Stimulator in words",
        120,
        required=False,
        help_text="Where it is not the clinic's, or its display said something.",
    )
    pads = text(
        "Pads and leads", 200, required=False, help_text="Kind, size, how old, how they looked."
    )
    told_by = text("Who told it", 120, help_text="The patient, a helper, staff.")
    who_was_told = text(
        "Who was told, and when", 300, required=False, rows=2, help_text="Lead, surgeon, doctor."
    )

    def __init__(
        self,
        *args: Any,
        episodes: Iterable[tuple[str, str]],
        stimulators: Iterable[tuple[str, str]],
        zone: ZoneInfo,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone
        self.fields["episode"].choices = [*episodes, ("", "not about one limb")]
        self.fields["stimulator"].choices = [("", "none of the clinic's"), *stimulators]

    def clean(self) -> dict:
        said = super().clean()
        if said.get("on") and said.get("at"):
            said["moment"] = datetime.combine(said["on"], said["at"], tzinfo=self.zone)
        if said.get("kind") == "burn" and not said.get("skin_grade"):
            self.add_error("skin_grade", "Say how the skin looks, or looked at its worst.")
        return said


class SupplementForm(PlainForm):
    field_order = ("text", "who_was_told")
    who_was_told = text("Who was told, and when", 300, required=False)
    text = text("What was learned or done", 1000, rows=3)


class IncidentCloseForm(ReasonForm):
    reason = text("What was found, and why nothing more is to be done", 500, rows=3)
