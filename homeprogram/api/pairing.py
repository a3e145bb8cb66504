"""Pair a phone, and ask how the pairing stands."""

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import exceptions
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from homeprogram.api.credential import (
    PhoneAuthentication,
    client_address,
    credential_give,
    credential_take,
    refuse_foreign,
)
from homeprogram.serializers.sync import ErrorOutput, PairingInput, PairingOutput
from homeprogram.services import pairing
from homeprogram.services.subscriptions import subscription_turn_off


class PairingApi(APIView):
    """POST a code: 201 and the credential. GET: waiting, active or revoked. DELETE: forget it."""

    authentication_classes = [PhoneAuthentication]
    permission_classes: list = []

    @extend_schema(request=PairingInput, responses={201: PairingOutput, 400: ErrorOutput})
    def post(self, request: Request) -> Response:
        refuse_foreign(request)
        said = PairingInput(data=request.data)
        said.is_valid(raise_exception=True)
        phone, token = pairing.phone_pair(
            secret=said.validated_data["code"],
            label=said.validated_data["phone_label"],
            address=client_address(request),
            now=timezone.now(),
        )
        response = Response({"phone_id": phone.id, "state": phone.state}, status=201)
        credential_give(response, token)
        return response

    @extend_schema(
        parameters=[OpenApiParameter("quietly", description="204 in place of 401")],
        responses={200: PairingOutput, 204: None, 401: ErrorOutput},
    )
    def get(self, request: Request) -> Response:
        phone = request.auth
        # A first visit asks whether the browser lost its log: no refusal, no error.
        if phone is None and "quietly" in request.query_params:
            return Response(status=204)
        if phone is None:
            raise exceptions.NotAuthenticated("This phone is not paired.", "not_paired")
        state = phone.state if phone.state in {"waiting", "active"} else "revoked"
        answer: dict = {
            "phone_id": phone.id,
            "state": state,
            "log_identity": phone.log_identity,
            "high": phone.high,
            "age_s": int((timezone.now() - phone.created_at).total_seconds()),
        }
        if state == "revoked":
            answer["revoked"] = phone.state
        if state == "active":
            answer["patient"] = {"initials": phone.patient.initials}
        return Response(answer)

    @extend_schema(responses={204: None})
    def delete(self, request: Request) -> Response:
        """The phone's owner leaves it. Only a clinician ends a phone's access."""
        refuse_foreign(request)
        if request.auth:
            subscription_turn_off(phone=request.auth, now=timezone.now())
        response = Response(status=204)
        credential_take(response)
        return response
