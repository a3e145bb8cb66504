"""What a phone says beside a photo, and what it hears."""

from rest_framework import serializers

MS_MOST = 4_102_444_800_000  # the year 2100; no clock of a phone means later


class PhotoInput(serializers.Serializer):
    entry = serializers.UUIDField(help_text="The skin check it was taken with.")
    taken_ms = serializers.IntegerField(min_value=0, max_value=MS_MOST)


class PhotoOutput(serializers.Serializer):
    id = serializers.UUIDField()
    sha256 = serializers.CharField(required=False, help_text="Of the bytes that were sent.")
    state = serializers.ChoiceField(choices=["kept", "deleted"])
