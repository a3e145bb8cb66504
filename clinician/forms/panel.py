"""What the panel's filters, its search and its bulk tools send."""

from collections.abc import Sequence
from typing import Any

from django import forms

from clinician.forms.base import PlainForm
from clinician.selectors.panel_choice import CHOICES


def select(name: str, label: str) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=CHOICES[name], required=False)


class ChoiceForm(PlainForm):
    """Sent by GET: none of it says who anybody is."""

    whose = select("whose", "Show")
    reason = select("reason", "Raised")
    pathway = select("pathway", "Pathway")
    week = select("week", "Week of course")
    unreviewed = select("unreviewed", "Reviewed")
    sort = select("sort", "Order by")


class HandoverForm(PlainForm):
    """To whom; the patients are those whose names the page shows."""

    to = forms.ChoiceField(label="To whom", widget=forms.RadioSelect)

    def __init__(self, *args: Any, colleagues: Sequence, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.colleagues = {str(one.id): one for one in colleagues}
        self.fields["to"].choices = [(key, one.name) for key, one in self.colleagues.items()]

    @property
    def colleague(self) -> Any:
        return self.colleagues[self.cleaned_data["to"]]
