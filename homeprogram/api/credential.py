"""The paired phone's credential: a random token in an HttpOnly cookie.

A form on another site cannot send our header with a JSON body, and SameSite
keeps the cookie at home, so no CSRF token has to be baked into the cached shell.
"""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from rest_framework import exceptions
from rest_framework.authentication import BaseAuthentication
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.views import APIView

from homeprogram.calc.limits import PHONE_COOKIE_DAYS
from homeprogram.errors import PhoneRevoked
from homeprogram.services import pairing

HEADER = "HTTP_X_BOUTWISE"
DAY_S = 86_400


class PhoneAuthentication(BaseAuthentication):
    """`request.auth` is the phone; `request.user` stays None: no clinician signed in."""

    def authenticate(self, request: Request) -> tuple[None, object] | None:
        token = request.COOKIES.get(settings.PHONE_COOKIE_NAME)
        if not token:
            return None
        if request.method not in {"GET", "HEAD", "OPTIONS"}:
            refuse_foreign(request)
        phone = pairing.phone_of_token(token=token)
        return (None, phone) if phone else None

    def authenticate_header(self, request: Request) -> str:
        return "Phone"  # so that an unpaired phone hears 401, not 403


class PhoneScheme(OpenApiAuthenticationExtension):
    """How the schema describes it; found by being defined."""

    target_class = PhoneAuthentication
    name = "phoneCookie"

    def get_security_definition(self, auto_schema: object) -> dict:
        return {"type": "apiKey", "in": "cookie", "name": settings.PHONE_COOKIE_NAME}


def refuse_foreign(request: HttpRequest) -> None:
    """An unsafe request must come from our own script on our own page."""
    site = request.META.get("HTTP_SEC_FETCH_SITE", "same-origin")
    if request.META.get(HEADER) != "1" or site != "same-origin":
        raise exceptions.PermissionDenied("This request did not come from the app.", "foreign")


class IsPhone(BasePermission):
    """A paired phone that may sync; says why when it may not."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        phone = request.auth
        if phone is None:
            raise exceptions.NotAuthenticated("This phone is not paired.", "not_paired")
        if phone.state == "stolen":
            raise PhoneRevoked(revoked="stolen")
        if phone.state == "waiting":
            raise exceptions.PermissionDenied("The clinic has to confirm.", "pairing_waiting")
        return True


def phone_in_use(request: Request) -> object:
    """One that was replaced may still send what it holds, and nothing else."""
    if request.auth.state != "active":
        raise PhoneRevoked(revoked="replaced")
    return request.auth


def credential_give(response: HttpResponse, token: str) -> None:
    response.set_cookie(
        settings.PHONE_COOKIE_NAME,
        token,
        max_age=PHONE_COOKIE_DAYS * DAY_S,
        httponly=True,
        secure=settings.SESSION_COOKIE_SECURE,
        samesite="Strict",
    )


def credential_take(response: HttpResponse) -> None:
    response.delete_cookie(settings.PHONE_COOKIE_NAME, samesite="Strict")


def client_address(request: HttpRequest) -> str:
    """Who asks, for rate limits: the address that our own proxies saw.

    Each proxy appends the address it heard from, so only as many entries from
    the right as there are proxies of ours can be believed.
    """
    proxies = settings.TRUSTED_PROXIES
    heard = [one.strip() for one in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")]
    if proxies and len(heard) >= proxies and heard[-proxies]:
        return heard[-proxies]
    return request.META.get("REMOTE_ADDR", "")
