"""What every page of the desk asks before it answers: who, how signed in, whose patient."""

import time
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

from allauth.account.internal.flows.login import get_authentication_records
from allauth.account.internal.flows.reauthentication import suspend_request
from allauth.mfa.utils import is_mfa_enabled
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.generic import FormView, TemplateView
from django.views.generic.base import ContextMixin, View

from clinician.views.sending import Sending
from homeprogram.errors import HomeProgramError
from homeprogram.selectors import record

SEEN_KEY = "desk_seen_at"
SEEN_STEP_S = 60  # a session is written at most once a minute
Row = TypeVar("Row")


class DeskMixin(ContextMixin, View):
    """A signed-in, active clinician with a second factor, not idle for too long."""

    http_method_names = ("get", "head", "options", "post")
    area = ""  # which link of the head is current
    lead_only = False
    keeps_awake = True  # False for what a page asks by itself

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not request.user.is_authenticated:
            return redirect_to_login(request.get_full_path())
        clinician = record.clinician_signed_in(user=request.user)
        if clinician is None:
            raise PermissionDenied
        if settings.REQUIRE_MFA and not _second_factor(request):
            return redirect("mfa_activate_totp")
        self.clinician, self.clinic = clinician, clinician.clinic
        if _idle_s(request) > settings.DESK_IDLE_S:
            # What was typed waits with the session and goes through after the password.
            self.on_idle()
            return suspend_request(request, reverse("account_reauthenticate"))
        if self.keeps_awake:
            _note_seen(request)
        if self.lead_only and not clinician.is_lead:
            raise Http404
        self.find()
        return super().dispatch(request, *args, **kwargs)

    def get_context_data(self, **kwargs: Any) -> dict:
        desk = {"me": self.clinician, "clinic": self.clinic, "area": self.area}
        return super().get_context_data(**desk, **kwargs)

    def find(self) -> None:
        """Load what the address names, or answer 404; before anything else is read."""

    def on_idle(self) -> None:
        """The session slept too long: a chance to keep what came with this request."""

    @property
    def now(self) -> datetime:
        return timezone.now()

    def found(self, row: Row | None) -> Row:
        """Foreign rows answer exactly like absent ones."""
        if row is None:
            raise Http404
        return row

    def patient_of(self, patient_id: UUID):
        return self.found(record.patient_of_clinic(clinic=self.clinic, patient_id=patient_id))

    def to_patient(self, patient_id: UUID, part: str = "") -> HttpResponse:
        """On a weekly review: to the note about what was just done, then to the next patient."""
        match self.request.GET.get("then"):
            case "note":
                note = reverse("note-add", kwargs={"patient_id": patient_id})
                return redirect(f"{note}?then=review")
            case "again":
                return redirect("review-patient", patient_id=patient_id)
            case "review":
                return redirect(f"{reverse('review-run')}?after={patient_id}")
        url = reverse("patient-detail", kwargs={"patient_id": patient_id})
        return redirect(f"{url}#{part}" if part else url)


def _second_factor(request: HttpRequest) -> bool:
    records = get_authentication_records(request, request.user)
    return any(one["method"] == "mfa" for one in records) or is_mfa_enabled(request.user)


def _idle_s(request: HttpRequest) -> float:
    """Seconds since this browser was last used or signed in."""
    signed_in = [one["at"] for one in get_authentication_records(request, request.user)]
    seen = [request.session.get(SEEN_KEY, 0), *signed_in]
    return time.time() - max(seen) if any(seen) else 0


def _note_seen(request: HttpRequest) -> None:
    now = time.time()
    if now - request.session.get(SEEN_KEY, 0) > SEEN_STEP_S:
        request.session[SEEN_KEY] = now


class DeskPage(DeskMixin, TemplateView):
    """A page that only shows."""


class DeskForm(DeskMixin, FormView):
    """A page with one form; a refusal of the record becomes an error of the form.

    Sent twice it acts once, and the second answer says so.
    """

    said = ""  # what the next page says when it worked

    def act(self, form: Any) -> HttpResponse:
        raise NotImplementedError

    def form_valid(self, form: Any) -> HttpResponse:
        sending = Sending(self.request)
        if before := sending.before():
            url, words = before
            messages.info(self.request, words)
            return redirect(url)
        response = None
        try:
            response = self.act(form)
        except (HomeProgramError, ValidationError) as refusal:
            blame(form, refusal)
            return self.form_invalid(form)
        finally:
            sending.came(response)
        if self.said:
            messages.success(self.request, self.said)
        return response

    def form_invalid(self, form: Any) -> HttpResponse:
        return self.render_to_response(self.get_context_data(form=form, trouble=True))


def blame(form: Any, refusal: HomeProgramError | ValidationError) -> None:
    """Put each sentence beside the field it is about, the rest on top."""
    if isinstance(refusal, HomeProgramError):
        found = {name: [text] for name, text in refusal.fields.items()} or {"": [refusal.message]}
    elif hasattr(refusal, "error_dict"):
        found = refusal.message_dict
    else:
        found = {"": refusal.messages}
    for name, sentences in found.items():
        for sentence in sentences:
            form.add_error(name if name in form.fields else None, sentence)
