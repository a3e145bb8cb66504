"""A stop from a notice, and how reminders on a phone stand after it."""

from rest_framework import serializers


class ReminderStopInput(serializers.Serializer):
    # Of the notice; null from a notice that held none.
    reminder = serializers.UUIDField(allow_null=True)


class ReminderStopOutput(serializers.Serializer):
    stopped = serializers.BooleanField()
