"""A photo of the skin from the phone that took it; and the phone's wish to have it removed."""

from collections.abc import Mapping
from typing import BinaryIO
from uuid import UUID

from django.http import JsonResponse
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.views import APIView

from homeprogram.api.credential import IsPhone, PhoneAuthentication, phone_in_use
from homeprogram.api.sync import RECEIPT_TYPE
from homeprogram.calc.limits import PHOTO_BYTES_MAX
from homeprogram.errors import PhotoTooLarge
from homeprogram.serializers.photo import PhotoInput, PhotoOutput
from homeprogram.serializers.sync import ErrorOutput
from homeprogram.services.photos import photo_remove_by_patient, photo_take


class JpegParser(BaseParser):
    media_type = "image/jpeg"

    def parse(self, stream: BinaryIO, media_type: str, parser_context: Mapping) -> bytes:
        """At most one byte more than may come, whatever was announced."""
        data = stream.read(PHOTO_BYTES_MAX + 1)
        if len(data) > PHOTO_BYTES_MAX:
            raise PhotoTooLarge
        return data


class PhotoApi(APIView):
    """PUT the picture, as often as one likes. DELETE it. The answer names what it is about."""

    authentication_classes = [PhoneAuthentication]
    permission_classes = [IsPhone]
    parser_classes = [JpegParser]

    @extend_schema(
        parameters=[PhotoInput],
        request={"image/jpeg": OpenApiTypes.BINARY},
        responses={200: PhotoOutput, 400: ErrorOutput, 409: ErrorOutput, 413: ErrorOutput},
    )
    def put(self, request: Request, photo_id: UUID) -> JsonResponse:
        phone = phone_in_use(request)
        said = PhotoInput(data=request.query_params)
        said.is_valid(raise_exception=True)
        photo = photo_take(
            phone=phone,
            photo_id=photo_id,
            entry_id=said.validated_data["entry"],
            taken_ms=said.validated_data["taken_ms"],
            data=request.data or b"",
            now=timezone.now(),
        )
        state = "deleted" if photo.gone_at else "kept"
        return _receipt(id=photo_id, sha256=photo.sha256, state=state)

    @extend_schema(responses={200: PhotoOutput})
    def delete(self, request: Request, photo_id: UUID) -> JsonResponse:
        photo_remove_by_patient(phone=phone_in_use(request), photo_id=photo_id, now=timezone.now())
        return _receipt(id=photo_id, state="deleted")


def _receipt(**said: object) -> JsonResponse:
    return JsonResponse(said, content_type=RECEIPT_TYPE)
