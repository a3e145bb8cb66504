"""Whether this phone is to be reminded, and where its push service can be reached."""

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from homeprogram.api.credential import IsPhone, PhoneAuthentication, phone_in_use
from homeprogram.selectors.subscriptions import is_subscribed
from homeprogram.serializers.subscription import SubscriptionInput, SubscriptionOutput
from homeprogram.serializers.sync import ErrorOutput
from homeprogram.services.push_keys import public_key
from homeprogram.services.subscriptions import subscription_record, subscription_turn_off


class SubscriptionApi(APIView):
    """GET the clinic's key. POST a browser's subscription, as often as one likes. DELETE it."""

    authentication_classes = [PhoneAuthentication]
    permission_classes = [IsPhone]

    @extend_schema(responses={200: SubscriptionOutput})
    def get(self, request: Request) -> Response:
        return Response({"key": public_key(), "on": is_subscribed(phone=phone_in_use(request))})

    @extend_schema(request=SubscriptionInput, responses={200: SubscriptionOutput, 400: ErrorOutput})
    def post(self, request: Request) -> Response:
        phone = phone_in_use(request)
        said = SubscriptionInput(data=request.data)
        said.is_valid(raise_exception=True)
        endpoint, keys = said.validated_data["endpoint"], said.validated_data["keys"]
        subscription_record(phone=phone, endpoint=endpoint, now=timezone.now(), **keys)
        return Response({"key": public_key(), "on": True})

    @extend_schema(responses={204: None})
    def delete(self, request: Request) -> Response:
        subscription_turn_off(phone=request.auth, now=timezone.now())
        return Response(status=204)
