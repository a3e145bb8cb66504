"""Who may ask the clinician's part of the API: a signed-in, active clinician."""

from allauth.mfa.utils import is_mfa_enabled
from django.conf import settings
from drf_spectacular.authentication import SessionScheme
from rest_framework import exceptions
from rest_framework.authentication import SessionAuthentication
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.views import APIView

from homeprogram.selectors.record import clinician_of_user


class DeskAuthentication(SessionAuthentication):
    """The desk's session with its CSRF check; a phone's cookie means nothing here."""

    def authenticate_header(self, request: Request) -> str:
        return "Session"  # so that nobody signed in hears 401, not 403


class DeskScheme(SessionScheme):
    """How the schema describes it; found by being defined."""

    target_class = DeskAuthentication
    name = "deskSession"


class IsClinician(BasePermission):
    """Leaves the clinician on the view, so that no view looks twice."""

    def has_permission(self, request: Request, view: APIView) -> bool:
        if not request.user:
            raise exceptions.NotAuthenticated("Sign in first.")
        view.clinician = clinician_of_user(user=request.user)
        if view.clinician is None:
            raise exceptions.PermissionDenied("Only clinicians may ask this.", "not_a_clinician")
        if settings.REQUIRE_MFA and not is_mfa_enabled(request.user):
            raise exceptions.PermissionDenied("Set up a second factor.", "second_factor_missing")
        return True


class ClinicianView(APIView):
    authentication_classes = [DeskAuthentication]
    permission_classes = [IsClinician]
