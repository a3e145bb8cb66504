"""The one place that turns a refusal into an answer."""

from django.core.exceptions import PermissionDenied
from django.core.exceptions import ValidationError as DjangoValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import exception_handler

from homeprogram import errors

STATUS = {
    errors.TooManyTries: 429,
    errors.PushTooLarge: 413,
    errors.ProtocolTooOld: 426,
    errors.PhoneRevoked: 401,
}
NOT_FOUND = "There is nothing here, or it is not yours to see."


def api_error(exc: Exception, context: dict) -> Response | None:
    """Every API error as {code, message, fields}; stable codes."""
    if isinstance(exc, errors.HomeProgramError):
        return _refusal(exc)
    if isinstance(exc, Http404 | PermissionDenied | exceptions.NotFound):
        # Foreign objects answer like absent ones.
        return Response(_body("not_found", NOT_FOUND), status=404)
    if isinstance(exc, DjangoValidationError):
        exc = exceptions.ValidationError(exc.messages)
    response = exception_handler(exc, context)
    if response is None:
        return None
    response.data = _api_body(exc)
    return response


def _refusal(exc: errors.HomeProgramError) -> Response:
    status = next((code for kind, code in STATUS.items() if isinstance(exc, kind)), 400)
    body = _body(exc.code, exc.message, exc.fields)
    if (slips := getattr(exc, "slips", None)) is not None:
        body["slips"] = slips
    if isinstance(exc, errors.PhoneRevoked):
        body["revoked"] = exc.revoked
    response = Response(body, status=status)
    if isinstance(exc, errors.TooManyTries):
        response["Retry-After"] = str(exc.retry_after_s)
    return response


def _api_body(exc: exceptions.APIException) -> dict:
    if isinstance(exc, exceptions.ValidationError):
        fields = exc.detail if isinstance(exc.detail, dict) else {"": exc.detail}
        return _body("invalid", "Some values need a change.", _sentences(fields))
    codes = exc.get_codes()
    return _body(codes if isinstance(codes, str) else "refused", str(exc.detail))


def _sentences(fields: dict) -> dict[str, str]:
    return {
        name: " ".join(str(part) for part in detail) if isinstance(detail, list) else str(detail)
        for name, detail in fields.items()
    }


def _body(code: str, message: str, fields: dict | None = None) -> dict:
    return {"code": code, "message": message, "fields": fields or {}}


def csrf_failure(request: HttpRequest, **_: str) -> HttpResponse:
    """Django hands us the reason; it is for its log, not for the person."""
    return render(request, "403_csrf.html", status=403)
