"""What a clinician says about a flag."""

from django import forms

from clinician.forms.base import PlainForm, text
from clinician.selectors import choices


class FlagSeeForm(PlainForm):
    """`known_until` = the newest fact on the card as it was shown."""

    known_until = forms.DateTimeField(required=False, widget=forms.HiddenInput)


class FlagCloseForm(FlagSeeForm):
    outcome = forms.ChoiceField(
        label="What came of it", choices=choices.FLAG_OUTCOMES, widget=forms.RadioSelect
    )
    reason = text("What you found or did", 300, rows=2)


class FlagRemarkForm(PlainForm):
    reason = text("Your remark", 300, rows=2)
