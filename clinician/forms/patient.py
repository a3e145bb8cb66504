"""A patient, their consent, an episode."""

from datetime import date, timedelta
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, day, text
from clinician.selectors import choices
from homeprogram.calc.days import ADULT_YEARS, is_adult, years_old

OLDEST_YEARS = 120


class _Dated(PlainForm):
    """Rules that need to know which day it is are handed the day."""

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today


class ConsentForm(_Dated):
    given_on = day("Consent given on")
    guardian_name = text(
        "Guardian who consents",
        120,
        required=False,
        help_text=f"Needed for a patient under {ADULT_YEARS}.",
    )
    helper_name = text(
        "Helper at home",
        120,
        required=False,
        help_text="Who may help with the pads and the log, if the patient agrees.",
    )

    def __init__(self, *args: Any, born_on: date | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.born_on = born_on

    def clean_given_on(self) -> date:
        given_on = self.cleaned_data["given_on"]
        # A day of grace: the clinic's zone may be ahead of ours.
        if given_on > self.today + timedelta(days=1):
            raise forms.ValidationError("Consent cannot be given on a day to come.")
        return given_on

    def clean(self) -> dict:
        said = super().clean()
        born_on = said.get("born_on", self.born_on)
        minor = born_on is not None and not is_adult(born_on, self.today)
        if minor and not said.get("guardian_name"):
            self.add_error("guardian_name", f"Under {ADULT_YEARS}: name the guardian who consents.")
        return said


class EpisodeForm(_Dated):
    limb = forms.ChoiceField(label="Limb", choices=choices.LIMBS, widget=forms.RadioSelect)
    pathway = forms.ChoiceField(label="Pathway", choices=choices.PATHWAYS, widget=forms.RadioSelect)
    procedure = text("Procedure", 160, required=False, help_text="As the surgeon names it.")
    surgery_on = day(
        "Date of surgery", required=False, help_text="Needed after surgery. It may be moved later."
    )
    surgeon_limits = text(
        "Surgeon's limits",
        500,
        required=False,
        rows=3,
        help_text="In the surgeon's words: angles, weight-bearing, brace, graft or repair.",
    )

    def clean_surgery_on(self) -> date | None:
        surgery_on = self.cleaned_data["surgery_on"]
        if surgery_on and abs(surgery_on - self.today) > timedelta(days=20 * 365):
            raise forms.ValidationError("Check the year of surgery.")
        return surgery_on


class PatientForm(ConsentForm, EpisodeForm):
    """First visit: who, consent, which limb."""

    name = text("Full name", 120)
    born_on = day("Born on")
    telephone = text("Telephone", 40, required=False)
    zone = forms.CharField(
        label="Time zone",
        max_length=64,
        help_text="Where the patient lives, like Europe/Lisbon. It decides when a day ends.",
        widget=forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
    )
    field_order = ("name", "born_on", "telephone", "zone")

    zones = staticmethod(choices.zones)

    def clean_born_on(self) -> date:
        born_on = self.cleaned_data["born_on"]
        if born_on >= self.today or years_old(born_on, self.today) > OLDEST_YEARS:
            raise forms.ValidationError("Check the date of birth.")
        return born_on
