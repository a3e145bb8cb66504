"""A note in four parts, and what is added to one."""

from collections.abc import Iterable
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, day, text

PART = 4000  # [characters]


class NoteForm(PlainForm):
    about_on = day("About the day", help_text="Later than the day after, it is marked as late.")
    episode = forms.ChoiceField(label="About", required=False)
    subjective = text(
        "Subjective: what the patient says",
        PART,
        required=False,
        rows=3,
        help_text="Filled in with nothing but the patient's own words, dated.",
    )
    objective = text("Objective: what was measured and seen", PART, required=False, rows=8)
    assessment = text("Assessment: what you make of it", PART, rows=3)
    plan = text(
        "Plan: what happens next",
        PART,
        rows=3,
        help_text="Begun by machine with what was decided here today; yours to finish.",
    )

    def __init__(self, *args: Any, episodes: Iterable[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["episode"].quiet = True
        self.fields["episode"].choices = [("", "the patient as a whole"), *episodes]
        if not self["plan"].value():  # nothing was decided here today
            self.fields["plan"].help_text = "Yours to write."


class AddendumForm(PlainForm):
    text = text("What is to be added or put right", PART, rows=5)
