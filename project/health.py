"""Whether this process lives, and whether it can serve."""

from django.conf import settings
from django.db import DatabaseError, connection
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views import View

from clinician.selectors.heartbeat import silent_jobs
from homeprogram.selectors.record import log_identity
from project.durability import durability, unsafe


class HealthView(View):
    """The process answers; nothing else is asked."""

    def get(self, request: HttpRequest) -> JsonResponse:
        return JsonResponse({"status": "ok"})


class ReadyView(View):
    """The database answers, has its log identity and keeps what it acknowledged."""

    def get(self, request: HttpRequest) -> JsonResponse:
        try:
            log_identity()
            found = durability()
            silent = silent_jobs(now=timezone.now())
        except DatabaseError:
            return JsonResponse({"status": "no database"}, status=503)
        faults = [] if settings.TEST else unsafe(found)
        body = {
            "status": "unsafe" if faults else "ok",
            "faults": faults,
            # Told, not 503: a clock that stands still is no reason to turn phones away.
            "silent_jobs": [one.job for one in silent],
            "database": connection.vendor,
            # No versions: this page answers to anybody.
            "settings": {name: word for name, word in found.items() if "version" not in name},
        }
        return JsonResponse(body, status=503 if faults else 200)
