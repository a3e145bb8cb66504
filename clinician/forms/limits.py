"""What the surgeon told: one limit or clearance, and its end."""

from django import forms

from clinician.forms.base import PlainForm, day, figure, text
from clinician.selectors.limits import KINDS


class LimitForm(PlainForm):
    kind = forms.ChoiceField(label="Kind", choices=KINDS)
    detail = text(
        "In the surgeon's words", 200, help_text="Like: partial weight, 20 kg; or: brace locked."
    )
    said_by = text("Told by", 120, help_text="The surgeon, or the letter it stands in.")
    first_day = day("From")
    last_day = day("To", required=False, help_text="Empty: until somebody ends it.")
    from_deg = figure("Angle from", -20, 160, "°", required=False, help_text="0 = straight knee.")
    to_deg = figure("Angle to", -20, 160, "°", required=False)


class LimitEndForm(PlainForm):
    last_day = day("Last day it holds")
