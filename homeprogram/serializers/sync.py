"""The shape of pairing and push requests; values inside entries are read in calc."""

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from homeprogram.calc import limits

PROTOCOL = 1
MILLIS_MAX = 4_102_444_800_000  # the year 2100, by our own clock
PHONE_MILLIS_MAX = 2**53  # a phone's clock may say anything, and must still be heard


class PairingInput(serializers.Serializer):
    code = serializers.CharField(max_length=80)
    phone_label = serializers.CharField(max_length=60, allow_blank=True, default="")


@extend_schema_field(OpenApiTypes.STR)
class FrozenTextField(serializers.Field):
    """Text exactly as the phone froze it, characters no database can hold included."""

    default_error_messages = {"invalid": "This must be text."}

    def to_internal_value(self, data: object) -> str:
        if not isinstance(data, str):
            self.fail("invalid")
        return data


class PushItemInput(serializers.Serializer):
    # One bad text is held alone; it must not refuse its neighbours.
    body = FrozenTextField()
    sha256 = serializers.RegexField(r"^[0-9a-f]{64}$")


class ClaimInput(serializers.Serializer):
    at_ms = serializers.IntegerField(min_value=0, max_value=PHONE_MILLIS_MAX)
    # Not said by the first release.
    heard_ms = serializers.IntegerField(
        min_value=0, max_value=MILLIS_MAX, allow_null=True, default=None
    )
    offset_min = serializers.IntegerField(min_value=-840, max_value=840)
    zone = serializers.CharField(max_length=64)
    high = serializers.IntegerField(min_value=0, max_value=2**31 - 1)


class PushInput(serializers.Serializer):
    protocol = serializers.IntegerField()
    build = serializers.CharField(max_length=40, allow_blank=True)
    nonce = serializers.CharField(max_length=64)
    high = serializers.IntegerField(min_value=0, max_value=2**31 - 1)
    have_revision = serializers.ListField(child=serializers.UUIDField(), max_length=200)
    entries = PushItemInput(many=True)
    claim = ClaimInput(allow_null=True)
    sent_ms = serializers.IntegerField(min_value=0, max_value=PHONE_MILLIS_MAX)
    # What the first release's phones do not say yet.
    lost = serializers.ListField(
        child=serializers.IntegerField(min_value=1, max_value=2**31 - 1),
        max_length=limits.GAPS_MAX,
        default=list,
    )
    cleared_ms = serializers.IntegerField(
        min_value=0, max_value=PHONE_MILLIS_MAX, allow_null=True, default=None
    )


class ReasonOutput(serializers.Serializer):
    code = serializers.CharField()
    message = serializers.CharField()


class ReceiptOutput(serializers.Serializer):
    id = serializers.UUIDField(allow_null=True)
    outcome = serializers.ChoiceField(["stored", "already", "held"])
    sha256 = serializers.CharField()
    version = serializers.IntegerField()
    reason = ReasonOutput(required=False)


class LimitsOutput(serializers.Serializer):
    entries = serializers.IntegerField(default=limits.PUSH_ENTRIES_MAX)
    bytes = serializers.IntegerField(default=limits.PUSH_BYTES_MAX)


class PushOutput(serializers.Serializer):
    log_identity = serializers.UUIDField()
    nonce = serializers.CharField()
    receipts = ReceiptOutput(many=True)
    high = serializers.IntegerField()
    gaps = serializers.ListField(child=serializers.IntegerField())
    server_ms = serializers.IntegerField()
    limits = LimitsOutput()
    retry_after_s = serializers.IntegerField(allow_null=True)


class PullOutput(serializers.Serializer):
    log_identity = serializers.UUIDField()
    cursor = serializers.CharField()
    more = serializers.BooleanField()
    changes = serializers.ListField(child=serializers.DictField())
    release_key = serializers.CharField(required=False)


class PhonePatientOutput(serializers.Serializer):
    initials = serializers.CharField()


class PairingOutput(serializers.Serializer):
    phone_id = serializers.UUIDField()
    state = serializers.ChoiceField(["waiting", "active", "revoked"])
    log_identity = serializers.UUIDField(required=False)
    high = serializers.IntegerField(required=False)
    age_s = serializers.IntegerField(required=False)
    revoked = serializers.ChoiceField(["replaced", "stolen"], required=False)
    patient = PhonePatientOutput(required=False)


class ErrorOutput(serializers.Serializer):
    code = serializers.CharField()
    message = serializers.CharField()
    fields = serializers.DictField(child=serializers.CharField())
