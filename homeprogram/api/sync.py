"""Push and pull. Receipts are built after the commit, and name every item."""

from uuid import UUID

from django.conf import settings
from django.http import HttpResponse, JsonResponse
from django.utils import timezone
from django.utils.decorators import method_decorator
from django.views.decorators.gzip import gzip_page
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from homeprogram.api.credential import IsPhone, PhoneAuthentication, credential_give
from homeprogram.calc import limits
from homeprogram.errors import PhoneRevoked, ProtocolTooOld, PushRefused, PushTooLarge
from homeprogram.selectors.pull import changes_rendered
from homeprogram.serializers.sync import PROTOCOL, PullOutput, PushInput, PushOutput
from homeprogram.services.intake import Item, Outcome
from homeprogram.services.pairing import credential_due, release_key_of
from homeprogram.services.push import Claim, Push, push_take

# A type of our own: a portal's 200 can never pass for a receipt.
RECEIPT_TYPE = "application/vnd.boutwise.receipt+json"


# Links are slow where patients are. Nothing secret stands beside what a phone
# chose itself, so its length tells an eavesdropper nothing.
@method_decorator(gzip_page, name="dispatch")
class SyncView(APIView):
    authentication_classes = [PhoneAuthentication]
    permission_classes = [IsPhone]

    def finalize_response(
        self, request: Request, response: HttpResponse, *args, **kwargs
    ) -> HttpResponse:
        response = super().finalize_response(request, response, *args, **kwargs)
        # `request.auth` is the phone as it was before this request.
        if (
            request.auth
            and response.status_code == 200
            and credential_due(phone=request.auth, now=timezone.now())
        ):
            credential_give(response, request.COOKIES[settings.PHONE_COOKIE_NAME])
        return response


class PushApi(SyncView):
    """POST entries; every one is stored, known already, or held."""

    @extend_schema(request=PushInput, responses={200: PushOutput})
    def post(self, request: Request) -> JsonResponse:
        push = _said(request)
        now = timezone.now()
        pushed = push_take(phone=request.auth, push=_push(push), now=now)
        answer = {
            # As it was before the commit: under a newer name the phone offers all again.
            "log_identity": request.auth.log_identity,
            "nonce": push["nonce"],
            "receipts": [_receipt(outcome) for outcome in pushed.outcomes],
            "high": pushed.high,
            "gaps": pushed.gaps,
            "server_ms": int(now.timestamp() * 1000),
            "limits": {"entries": limits.PUSH_ENTRIES_MAX, "bytes": limits.PUSH_BYTES_MAX},
            "retry_after_s": None,
        }
        return JsonResponse(answer, content_type=RECEIPT_TYPE)


def _said(request: Request) -> dict:
    """The whole push, of the right shape; refused without storing any of it."""
    if int(request.META.get("CONTENT_LENGTH") or 0) > limits.PUSH_BYTES_MAX:
        raise PushTooLarge
    try:
        data = request.data
    except RecursionError:
        raise PushRefused from None
    protocol = data.get("protocol") if isinstance(data, dict) else None
    if isinstance(protocol, int) and protocol != PROTOCOL:
        raise ProtocolTooOld  # before the rest, which may look different there
    push = PushInput(data=data)
    push.is_valid(raise_exception=True)
    if len(push.validated_data["entries"]) > limits.PUSH_ENTRIES_MAX:
        raise PushTooLarge
    return push.validated_data


def _push(said: dict) -> Push:
    claim = said["claim"]
    return Push(
        build=said["build"],
        high=said["high"],
        have_revision=said["have_revision"],
        items=[Item(one["body"], one["sha256"]) for one in said["entries"]],
        claim=Claim(claim["at_ms"], claim["high"], claim["heard_ms"]) if claim else None,
        sent_ms=said["sent_ms"],
        lost=said["lost"],
        cleared_ms=said["cleared_ms"],
    )


def _receipt(outcome: Outcome) -> dict:
    row = outcome.row
    receipt = {
        "id": str(row.entry_id) if row.entry_id else None,
        "outcome": outcome.word,
        "sha256": outcome.item.sha256,
        "version": row.version,
    }
    if outcome.word == "held":
        receipt["reason"] = {"code": row.code, "message": row.message}
    return receipt


class PullApi(SyncView):
    """GET what this phone has not heard of since its cursor."""

    @extend_schema(
        parameters=[
            OpenApiParameter("cursor", str, description="Opaque; empty at first."),
            OpenApiParameter("release", str, description="1: the phone lacks its release key."),
        ],
        responses={200: PullOutput},
    )
    def get(self, request: Request) -> Response:
        phone = request.auth
        if phone.state != "active":
            raise PhoneRevoked(revoked="replaced")
        identity = phone.log_identity
        after = _place(request.query_params.get("cursor", ""), identity)
        pulled = changes_rendered(patient=phone.patient, after=after)
        answer = {
            "log_identity": identity,
            "cursor": f"{identity}.{pulled.version}",
            "more": pulled.more,
            "changes": pulled.changes,
        }
        if request.query_params.get("release"):
            answer["release_key"] = release_key_of(phone=phone)
        return Response(answer)


def _place(cursor: str, identity: UUID) -> int:
    """The version a cursor stands at; zero for another copy of the log."""
    name, _, version = cursor.partition(".")
    return int(version) if name == str(identity) and version.isdecimal() else 0
