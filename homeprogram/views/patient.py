"""The phone's pages: the anonymous shell, its worker, the rescue page.

All are public and the same for everybody: no name, no token, no cookie read.
"""

import hashlib
import json

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.decorators import method_decorator
from django.views import View
from django.views.decorators.gzip import gzip_page

from homeprogram import precache
from homeprogram.calc.reminders import LETTER_OF, Wording
from homeprogram.calc.texts import FIRST, LANGUAGES

SHELL_URL = "/p/"
REMINDER_ICON = "icons/boutwise-192.png"
# Looked at each time, kept only after the server said that it still fits.
FRESH = {"Cache-Control": "no-cache"}
# What the rescue page's script says: by its own name for it, the key of the words.
RESCUE = {
    **{n: f"rescue.{n}" for n in ("sending", "failed", "not_all", "count", "none", "skin_check")},
    **{
        kind: f"kind.{kind}"
        for kind in (
            "bout",
            "not_done",
            "morning_check",
            "stop_report",
            "note_to_clinic",
            "correction",
            "withdrawal",
            "unreadable",
        )
    },
}


def shell_html() -> str:
    """Rendered without the request, so that nothing of a person can get in."""
    context = {
        "build": precache.build_of(precache.precache_list()),
        "entry": precache.url_of(precache.APP),
        "modules": precache.module_urls(),
        "sheet": precache.url_of(precache.SHEET),
        "words": precache.word_urls(),
        # Most phones speak it; the others lose nothing, since the worker holds both.
        "first_words": precache.word_urls()[FIRST],
        "spoken": [_spoken(language) for language in LANGUAGES],
    }
    return render_to_string("homeprogram/shell.html", context)


def _spoken(language: str) -> dict[str, str]:
    """What stands on the page before the app, and in its place, in one language."""
    names = ("description", "late", "rescue", "scripts", "emergency")
    with translation.override(language):
        said = {name: translation.gettext(f"shell.{name}") for name in names}
        return said | {"language": language, "dir": _direction()}


def _reminder(language: str) -> dict[str, str]:
    """What a lock screen shows, by the letter that was sent, and how to end it."""
    keys = {
        "title": "push.title",
        LETTER_OF[Wording.NOTHING_LOGGED]: "reminder.words",
        LETTER_OF[Wording.NOTHING_HEARD]: "reminder.unheard",
        "stop": "push.stop",
    }
    with translation.override(language):
        return {part: translation.gettext(key) for part, key in keys.items()}


def _direction() -> str:
    return "rtl" if translation.get_language_bidi() else "ltr"


@method_decorator(gzip_page, name="dispatch")
class ShellView(View):
    """GET the one page of the patient's app."""

    http_method_names = ["get", "head"]

    def get(self, request: HttpRequest) -> HttpResponse:
        return HttpResponse(shell_html(), headers=FRESH)


@method_decorator(gzip_page, name="dispatch")
class WorkerView(View):
    """GET the worker with the list of files that belong to this version."""

    http_method_names = ["get", "head"]

    def get(self, request: HttpRequest) -> HttpResponse:
        script = self._script() if settings.WORKER else render_to_string("homeprogram/sw_off.js")
        return HttpResponse(script, content_type="text/javascript; charset=utf-8", headers=FRESH)

    def _script(self) -> str:
        files = precache.precache_list()
        # The manifest's hashes do not cover the shell, so its text counts too.
        told = json.dumps(files) + shell_html()
        context = {
            "version": hashlib.sha256(told.encode()).hexdigest()[:16],
            "precache": json.dumps([[SHELL_URL, None], *files]),
            "shell_url": SHELL_URL,
            "said": json.dumps({language: _reminder(language) for language in LANGUAGES}),
            "first": FIRST,
            "usual": LETTER_OF[Wording.NOTHING_LOGGED],
            "icon": precache.url_of(REMINDER_ICON),
        }
        return render_to_string("homeprogram/sw.js", context)


class ManifestView(View):
    """GET what a phone needs to install the app, in the language its browser asks for."""

    http_method_names = ["get", "head"]

    def get(self, request: HttpRequest) -> HttpResponse:
        language = asked_language(request)
        with translation.override(language):
            said = {"language": language, "description": translation.gettext("shell.description")}
        text = render_to_string("manifest.json", said)
        headers = FRESH | {"Vary": "Accept-Language"}
        return HttpResponse(text, content_type="application/json", headers=headers)


class RescueView(View):
    """GET the plain page that saves entries when the app itself does not work."""

    http_method_names = ["get", "head"]

    def get(self, request: HttpRequest) -> HttpResponse:
        context = {
            "build": precache.build_of(precache.precache_list()),
            "sheet": precache.url_of(precache.SHEET),
        }
        with translation.override(asked_language(request)):
            context["words"] = {name: translation.gettext(key) for name, key in RESCUE.items()}
            html = render_to_string("homeprogram/rescue.html", context)
        return HttpResponse(html, headers=FRESH | {"Vary": "Accept-Language"})


def page_in_place_of(request: HttpRequest, *, what: str, status: int) -> HttpResponse:
    """What a patient sees where there is no page ("lost"), or where it broke ("broken")."""
    with translation.override(asked_language(request)):
        names = {"title": f"{what}_title", "words": what, "open": "open", "rescue": "rescue"}
        context = {name: translation.gettext(f"shell.{key}") for name, key in names.items()}
        context["emergency"] = translation.gettext("shell.emergency")
        context["sheet"] = precache.url_of(precache.SHEET)
        html = render_to_string("homeprogram/in_place_of.html", context)
    return HttpResponse(html, status=status, headers=FRESH | {"Vary": "Accept-Language"})


def asked_language(request: HttpRequest) -> str:
    """The app names its own; else what the browser asks for, else the first. No cookie is read."""
    asked = [request.GET.get("language", "")]
    asked += [
        one.split(";")[0].split("-")[0].strip()
        for one in request.headers.get("Accept-Language", "").split(",")
    ]
    return next((one for one in asked if one in LANGUAGES), FIRST)
