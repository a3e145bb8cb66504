"""What a clinician wants by mail."""

from django import forms

from clinician.forms.base import PlainForm


class StaffMailForm(PlainForm):
    digest = forms.BooleanField(
        label="A digest on Monday morning",
        required=False,
        help_text="Counts of your patients, flags and reviews, and a link. No names.",
    )
