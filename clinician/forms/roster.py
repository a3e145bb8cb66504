"""When somebody works, when they are away, and when the clinic is closed."""

from collections.abc import Iterable
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, day, text
from clinician.selectors import choices

People = Iterable[tuple[str, str]]


class WeekForm(PlainForm):
    weekdays = forms.MultipleChoiceField(
        label="Weekdays on duty",
        choices=choices.WEEKDAYS,
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    cover = forms.ChoiceField(
        label="Usual cover",
        required=False,
        help_text="Who is asked where a safety flag stays unseen, and on days off.",
    )

    def __init__(self, *args: Any, people: People, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cover"].choices = [("", "whoever is on duty"), *people]

    def clean_weekdays(self) -> list[int]:
        return [int(one) for one in self.cleaned_data["weekdays"]]


class AbsenceForm(PlainForm):
    first_day = day("First day away")
    last_day = day("Last day away")
    cover = forms.ChoiceField(label="Who covers")
    note = text("Note for colleagues", 200, required=False)

    def __init__(self, *args: Any, people: People, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cover"].choices = [("", "choose"), *people]

    def clean(self) -> dict:
        said = super().clean()
        if not self.errors and said["last_day"] < said["first_day"]:
            self.add_error("last_day", "The last day cannot come before the first.")
        return said


class ClosureForm(AbsenceForm):
    first_day = day("First closed day")
    last_day = day("Last closed day")
    cover = forms.ChoiceField(label="Who answers then")
    note = text("Why, for colleagues", 200, required=False)
