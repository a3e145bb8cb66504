"""Where every reminder leads: one button that ends them. Nobody signs in for it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone, translation
from django.utils.decorators import method_decorator
from django.views import View
from django.views.decorators.csrf import csrf_exempt

from clinician.services.opt_outs import EVERY_WAY, reminders_stop
from clinician.services.stop_tokens import reminder_of_token
from homeprogram import precache
from homeprogram.views.patient import asked_language

THIS = "this"


@method_decorator(csrf_exempt, name="dispatch")  # the signed token is the key; no cookie is read
class StopView(View):
    """GET changes nothing: scanners of mail follow every link. POST stops, also RFC 8058's."""

    http_method_names = ["get", "head", "post"]

    def get(self, request: HttpRequest, token: str) -> HttpResponse:
        return self._page(request, token, stopped=False)

    def post(self, request: HttpRequest, token: str) -> HttpResponse:
        reminder = reminder_of_token(token)
        if reminder:
            # A mail program's own click says no more than that: then it is all of them.
            only_this = request.POST.get("which") == THIS
            reminders_stop(
                patient=reminder.patient,
                ways=[reminder.way] if only_this else EVERY_WAY,
                reminder=reminder,
                now=timezone.now(),
            )
        return self._page(request, token, stopped=True)

    def _page(self, request: HttpRequest, token: str, *, stopped: bool) -> HttpResponse:
        reminder = reminder_of_token(token)
        if reminder is None:
            with translation.override(asked_language(request)):
                return self._render(request, {"lost": True}, status=404)
        setting = reminder.patient.reminder_setting
        context = {"stopped": stopped, "choice": len(setting.ways) > 1}
        with translation.override(setting.language):
            return self._render(request, context)

    def _render(self, request: HttpRequest, context: dict, status: int = 200) -> HttpResponse:
        """In the phone's own looks."""
        given = context | {"sheet": precache.url_of(precache.SHEET)}
        return render(request, "clinician/stop.html", given, status=status)
