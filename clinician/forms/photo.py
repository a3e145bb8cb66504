"""The yes to photos of the skin."""

from typing import Any

from django import forms

from clinician.forms.base import PlainForm, text
from homeprogram.calc.days import ADULT_YEARS


class PhotoAgreementForm(PlainForm):
    """`of_age`: what the date of birth tells; None where the record has none."""

    agrees = forms.BooleanField(
        label="The patient agrees to photos of their skin",
        error_messages={"required": "Without their yes there are no photos."},
    )

    def __init__(self, *args: Any, of_age: bool | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if of_age is None:
            self.fields["said_of_age"] = forms.BooleanField(
                label=f"The patient is {ADULT_YEARS} or older",
                required=False,
                help_text="No date of birth is on record.",
            )
        if not of_age:
            self.fields["guardian_name"] = text(
                "Guardian who agrees too",
                120,
                required=of_age is False,
                help_text=f"Needed for a patient under {ADULT_YEARS}.",
            )
        self.say_plainly()

    def agreed(self) -> dict[str, object]:
        return {name: value for name, value in self.cleaned_data.items() if name != "agrees"}
