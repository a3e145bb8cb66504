"""The phone's few pages. All are anonymous: a cached shell names nobody."""

import hashlib

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views import View
from django.views.generic import TemplateView

from homeprogram.precache import precache_list


class ShellView(TemplateView):
    """One document for every patient; what it shows comes from the phone itself."""

    template_name = "homeprogram/shell.html"

    def render_to_response(self, context: dict, **kwargs) -> HttpResponse:
        response = super().render_to_response(context, **kwargs)
        response["Cache-Control"] = "no-cache"
        return response


class WorkerView(View):
    """Our own service worker, with the list of files it must hold."""

    def get(self, request: HttpRequest) -> HttpResponse:
        shell = render_to_string("homeprogram/shell.html")
        listed = precache_list()
        version = hashlib.sha256(f"{settings.BUILD}{shell}{listed}".encode()).hexdigest()[:16]
        body = render_to_string(
            "homeprogram/sw.js",
            {"version": version, "precache": listed, "shell_url": "/p/"},
        )
        # The browser compares bytes; it must always get fresh ones.
        headers = {"Cache-Control": "no-cache", "Service-Worker-Allowed": "/p/"}
        return HttpResponse(body, content_type="text/javascript", headers=headers)


class RescueView(TemplateView):
    """Outside the worker's reach: list, export and send what is still on the phone."""

    template_name = "homeprogram/rescue.html"
