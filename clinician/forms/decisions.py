"""What a clinician decides or writes down about one patient."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, ReasonForm, count, day, text
from clinician.selectors import choices
from homeprogram.calc.first_dose import DAYS_OFF_BEFORE_STEP_DOWN, STEP_DOWN_SHARE
from homeprogram.calc.limits import FILE_BYTES_MAX
from homeprogram.calc.return_dose import RETURN_PCT


class HeldSettleForm(PlainForm):
    decision = forms.ChoiceField(
        label="What to do with it",
        choices=[
            ("settle", "I read it and did what was needed; it counts for nothing"),
            ("use", "It is this patient's and reads well: take it into the log as it is"),
        ],
        widget=forms.RadioSelect,
        initial="settle",
    )
    note = text("What you found and did", 300, rows=2, required=False)


class PhoneFileForm(PlainForm):
    file = forms.FileField(
        label="The file the phone saved",
        help_text="On the phone: Call, then “Save a copy of unsent entries”.",
        error_messages={"required": "Choose the file. It may have 4 MB at most."},
    )

    def clean_file(self) -> bytes:
        file = self.cleaned_data["file"]
        if file.size > FILE_BYTES_MAX:
            raise forms.ValidationError("This file is larger than 4 MB. A phone's file is not.")
        return file.read()


class HoldLiftForm(ReasonForm):
    """Names exactly the holds that were on the screen."""

    holds = forms.MultipleChoiceField(widget=forms.MultipleHiddenInput)
    reason = text("Why the hold may be lifted", 300, rows=2)

    def __init__(self, *args: Any, standing: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["holds"].choices = [(key, key) for key in standing]
        self.fields["holds"].error_messages["invalid_choice"] = (
            "These holds are no longer what was shown. Look again before you lift."
        )


class PauseForm(PlainForm):
    reason = forms.ChoiceField(
        label="Reason", choices=choices.PAUSE_REASONS, widget=forms.RadioSelect
    )
    last_day = day(
        "Last paused day", required=False, help_text="Empty: until somebody ends the pause."
    )
    safety = forms.BooleanField(
        label="Safety pause: the phone stops as soon as it hears of it", required=False
    )
    return_contractions_pct = count(
        "Contractions on return", *RETURN_PCT, "% of those before", required=False
    )
    return_current_pct = count(
        "Current on return",
        *RETURN_PCT,
        "% of that before",
        required=False,
        help_text=f"Empty: the usual, {100 * STEP_DOWN_SHARE:g} % "
        f"after {DAYS_OFF_BEFORE_STEP_DOWN} days off.",
    )
    note = text("Note", 300, required=False, rows=2)

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_last_day(self) -> date | None:
        last_day = self.cleaned_data["last_day"]
        if last_day and last_day < self.today:
            raise forms.ValidationError("The pause starts today; its last day is today or later.")
        return last_day


class StimulatorSetForm(PlainForm):
    read_back = forms.BooleanField(
        label="I set the stimulator to this revision and read every value back",
        error_messages={"required": "Tick this once the values are set and read back."},
    )
    note = text("Note", 300, required=False)


class PairForm(PlainForm):
    other_phone = forms.ChoiceField(
        label="If another phone is paired",
        choices=[
            ("replace", "the new phone replaces it"),
            ("both", "use both phones"),
        ],
        widget=forms.RadioSelect,
        initial="replace",
    )


class RevokeForm(PlainForm):
    state = forms.ChoiceField(
        label="This phone was", choices=choices.REVOKED, widget=forms.RadioSelect
    )
