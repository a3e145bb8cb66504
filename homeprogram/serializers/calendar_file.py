"""What a phone asks of its calendar file, and what it gets."""

from rest_framework import serializers

from homeprogram.calc.texts import LANGUAGES


class CalendarFileInput(serializers.Serializer):
    at = serializers.TimeField(format="%H:%M", input_formats=["%H:%M"])
    language = serializers.ChoiceField(choices=list(LANGUAGES))


class CalendarFileOutput(serializers.Serializer):
    file = serializers.CharField(
        allow_null=True, help_text="RFC 5545. Null: nothing is due in the next weeks."
    )
