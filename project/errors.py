"""The one place that turns a refusal into an answer."""

import logging
import secrets
import sys

from django.core.exceptions import PermissionDenied
from django.core.exceptions import ValidationError as DjangoValidationError
from django.db import DatabaseError, InterfaceError, OperationalError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views import defaults
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import exception_handler

from homeprogram import errors
from homeprogram.views.patient import page_in_place_of

STATUS = {
    errors.TooManyTries: 429,
    errors.PushTooLarge: 413,
    errors.ProtocolTooOld: 426,
    errors.PhoneRevoked: 401,
    errors.PhotosOff: 403,
    errors.PhotoRefused: 409,
    errors.PhotoTooLarge: 413,
}
NOT_FOUND = "There is nothing here, or it is not yours to see."
AWAY = "The clinic's record cannot be reached right now. Try again shortly; nothing is lost."
# Not the same second for every phone that was turned away.
AWAY_S = range(5, 21)
# Whose pages speak English; all others are a patient's.
DESKS = ("/desk/", "/account/", "/api/")
# PostgreSQL's words for: read-only (a standby), a column or a table is missing (an upgrade).
PASSING = {"25006", "42703", "42P01"}

logger = logging.getLogger(__name__)


def api_error(exc: Exception, context: dict) -> Response | None:
    """Every API error as {code, message, fields}; stable codes."""
    if isinstance(exc, errors.HomeProgramError):
        return _refusal(exc)
    if isinstance(exc, Http404 | PermissionDenied | exceptions.NotFound):
        # Foreign objects answer like absent ones.
        return Response(_body("not_found", NOT_FOUND), status=404)
    if record_is_away(exc):
        # Never its text: that may quote the row it was about.
        logger.error("The record is away: %s", type(exc.__cause__ or exc).__name__)
        return _later(Response(_body("record_away", AWAY), status=503))
    if isinstance(exc, DjangoValidationError):
        exc = exceptions.ValidationError(exc.messages)
    response = exception_handler(exc, context)
    if response is None:
        return None
    response.data = _api_body(exc)
    return response


def record_is_away(exc: BaseException | None) -> bool:
    """Gone, locked, read-only or being upgraded; asking again later is right."""
    if isinstance(exc, OperationalError | InterfaceError):
        return True
    return isinstance(exc, DatabaseError) and getattr(exc.__cause__, "sqlstate", "") in PASSING


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


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Django's handler of an address with nothing at it, or nothing of yours."""
    if request.path.startswith(DESKS):
        return defaults.page_not_found(request, exception)
    return page_in_place_of(request, what="lost", status=404)


def server_error(request: HttpRequest) -> HttpResponse:
    """Django's handler of what nobody caught; a database that is away is not a fault of ours."""
    if record_is_away(sys.exc_info()[1]):
        return _later(HttpResponse(render_to_string("503.html"), status=503))
    if request.path.startswith(DESKS):
        return defaults.server_error(request)
    return page_in_place_of(request, what="broken", status=500)


def _later(response: HttpResponse) -> HttpResponse:
    response["Retry-After"] = str(secrets.choice(AWAY_S))
    return response
