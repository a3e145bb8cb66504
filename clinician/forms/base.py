"""Fields as the desk draws them: plain inputs, one column, help under the label."""

from typing import Any

from django import forms

DJANGO_REQUIRED = forms.Field.default_error_messages["required"]


class DateInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


def day(label: str, *, required: bool = True, help_text: str = "") -> forms.DateField:
    return forms.DateField(label=label, required=required, help_text=help_text, widget=DateInput())


class TimeInput(forms.TimeInput):
    input_type = "time"

    def __init__(self) -> None:
        super().__init__(format="%H:%M")


def clock_time(label: str, *, required: bool = True, help_text: str = "") -> forms.TimeField:
    return forms.TimeField(label=label, required=required, help_text=help_text, widget=TimeInput())


def text(
    label: str,
    most: int,
    *,
    required: bool = True,
    help_text: str = "",
    rows: int = 0,
    complete: str = "off",
) -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows}) if rows else forms.TextInput()
    widget.attrs["autocomplete"] = complete
    return forms.CharField(
        label=label, max_length=most, required=required, help_text=help_text, widget=widget
    )


def figure(
    label: str, low: float, high: float, unit: str, *, required: bool = True, help_text: str = ""
) -> forms.FloatField:
    """A number with its unit and what the record can hold."""
    widget = forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"})
    field = forms.FloatField(
        label=label,
        min_value=low,
        max_value=high,
        required=required,
        help_text=help_text,
        widget=widget,
    )
    field.unit = unit
    return field


def count(
    label: str, low: int, high: int, unit: str = "", *, required: bool = True, help_text: str = ""
) -> forms.IntegerField:
    field = forms.IntegerField(
        label=label, min_value=low, max_value=high, required=required, help_text=help_text
    )
    field.unit = unit
    return field


class ShareField(forms.IntegerField):
    """A share of 1 in the record, whole per cent on the page."""

    def prepare_value(self, value: object) -> object:
        return round(100 * value) if isinstance(value, float) else value

    def clean(self, value: object) -> float | None:
        per_cent = super().clean(value)
        return None if per_cent is None else per_cent / 100


def share(
    label: str, low: float, high: float, *, required: bool = True, help_text: str = ""
) -> ShareField:
    """`low`, `high` = shares of 1."""
    field = ShareField(
        label=label,
        min_value=round(100 * low),
        max_value=round(100 * high),
        required=required,
        help_text=help_text,
    )
    field.unit = "%"
    return field


class PlainForm(forms.Form):
    """Says what is missing as a colleague would."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.say_plainly()

    def say_plainly(self) -> None:
        """Again after fields were added."""
        for field in self.fields.values():
            if field.error_messages.get("required") == DJANGO_REQUIRED:
                choice = isinstance(field, forms.ChoiceField)
                field.error_messages["required"] = "Choose one." if choice else "Fill this in."


class ReasonForm(PlainForm):
    """One sentence that stays on the record."""

    reason = text("Reason", 300, rows=2)
