"""Who works at the clinic."""

from django import forms

from clinician.forms.base import PlainForm, text
from clinician.selectors import choices


class RoleForm(PlainForm):
    role = forms.ChoiceField(
        label="Role",
        choices=choices.ROLES,
        widget=forms.RadioSelect,
        help_text="A lead also manages staff, texts and thresholds.",
    )


class InviteForm(PlainForm):
    name = text("Name", 120)
    email = forms.EmailField(
        label="E-mail address", widget=forms.EmailInput(attrs={"autocomplete": "off"})
    )
    role = forms.ChoiceField(
        label="Role",
        choices=choices.ROLES,
        widget=forms.RadioSelect,
        initial="clinician",
        help_text="A lead also manages staff, texts and thresholds.",
    )
