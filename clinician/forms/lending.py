"""Stimulators that the clinic lends: what is written down of one, hand-out, return."""

from collections.abc import Iterable
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, day, text
from clinician.selectors import choices


class OwnStimulatorForm(PlainForm):
    asset_number = text("Asset number", 40, help_text="As on its label.")
    profile = forms.ChoiceField(label="Kind")
    leads = text("Leads and what belongs to it", 120, required=False)
    checked_on = day("Last safety check", required=False, help_text="Empty: it cannot be lent yet.")
    check_due_on = day("Next safety check due", required=False)

    def __init__(self, *args: Any, profiles: Iterable[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["profile"].choices = profiles

    def clean(self) -> dict:
        said = super().clean()
        if said.get("checked_on") and not said.get("check_due_on"):
            self.add_error("check_due_on", "Say when the next check is due.")
        return said


class StimulatorActForm(PlainForm):
    act = forms.ChoiceField(
        label="What was done", choices=choices.STIMULATOR_ACTS, widget=forms.RadioSelect
    )
    on = day("Day")
    due_on = day("Next safety check due", required=False, help_text="After a check only.")
    note = text(
        "Note", 300, required=False, rows=2, help_text="Needed for a quarantine and its end."
    )


class LoanForm(PlainForm):
    stimulator = forms.ChoiceField(label="Stimulator")
    went_with = text("What goes with it", 200, required=False, help_text="Leads, pads, charger.")
    due_back_on = day("Due back")
    cleaned = forms.BooleanField(label="It was cleaned just now", required=False)
    override_reason = text(
        "Why it is lent although something stands against it",
        300,
        required=False,
        rows=2,
        help_text="Only for a lead, and only where it says “not fit to lend”.",
    )

    def __init__(
        self, *args: Any, stimulators: Iterable[tuple[str, str]], is_lead: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["stimulator"].choices = stimulators
        if not is_lead:
            del self.fields["override_reason"]


class LoanReturnForm(PlainForm):
    note = text("What came back, and how", 300, required=False, rows=2)
    cleaned = forms.BooleanField(label="It was cleaned just now", required=False)
    quarantine = text(
        "Why it must not go out again as it is",
        300,
        required=False,
        rows=2,
        help_text="Filled in, it goes into quarantine until somebody releases it.",
    )
