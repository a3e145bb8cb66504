"""What a browser says of its push subscription; its own JSON is taken as it is."""

from rest_framework import serializers

from homeprogram.calc.endpoint import LENGTH_MOST


class KeysInput(serializers.Serializer):
    p256dh = serializers.CharField(max_length=88)
    auth = serializers.CharField(max_length=24)


class SubscriptionInput(serializers.Serializer):
    endpoint = serializers.CharField(max_length=LENGTH_MOST)
    keys = KeysInput()


class SubscriptionOutput(serializers.Serializer):
    key = serializers.CharField(allow_null=True, help_text="Null: this server sends none.")
    on = serializers.BooleanField()
