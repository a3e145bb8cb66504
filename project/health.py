"""Whether this process lives, and whether it can serve."""

from django.db import DatabaseError, connection
from django.http import HttpRequest, JsonResponse
from django.views import View

from homeprogram.selectors.record import log_identity


class HealthView(View):
    """The process answers; nothing else is asked."""

    def get(self, request: HttpRequest) -> JsonResponse:
        return JsonResponse({"status": "ok"})


class ReadyView(View):
    """The database answers and has its log identity; 503 otherwise."""

    def get(self, request: HttpRequest) -> JsonResponse:
        try:
            log_identity()
        except DatabaseError:
            return JsonResponse({"status": "no database"}, status=503)
        return JsonResponse({"status": "ok", "database": connection.vendor})
