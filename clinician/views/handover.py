"""Hand ticked patients over to a colleague: their names first, and back for ten minutes."""

from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from clinician.forms.panel import HandoverForm
from clinician.selectors.handovers import colleagues, handover_of_clinic, patients_named
from clinician.selectors.words import plural
from clinician.services.handovers import UNDO_WITHIN, handover_undo, patients_hand_over
from clinician.views.base import DeskForm, DeskMixin, View
from homeprogram.errors import HomeProgramError

NEWEST = "handover"  # in the session: what can still be undone


class HandoverView(DeskForm):
    """The panel sends ticks; this page shows whom they mean, and asks to whom."""

    http_method_names = ("post",)  # an address cannot say whom
    template_name = "clinician/handover.html"
    form_class = HandoverForm

    def find(self) -> None:
        ids = self.request.POST.getlist("patient")
        self.patients = patients_named(clinic=self.clinic, ids=ids)

    def post(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        if not self.patients:
            messages.warning(request, "Nobody was ticked.")
            return redirect("desk-panel")
        if "sure" not in request.POST:
            form = HandoverForm(colleagues=colleagues(clinic=self.clinic))
            return self.render_to_response(self.get_context_data(form=form))
        return super().post(request, *args, **kwargs)

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"colleagues": colleagues(clinic=self.clinic)}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patients=self.patients, **kwargs)

    def act(self, form: HandoverForm) -> HttpResponse:
        to, now = form.colleague, self.now
        batch, count = patients_hand_over(patients=self.patients, to=to, by=self.clinician, now=now)
        said = f"{plural(count, 'patient')} handed over to {to.name}."
        until = (now + UNDO_WITHIN).isoformat()
        self.request.session[NEWEST] = {"batch": str(batch), "said": said, "until": until}
        return redirect("desk-panel")


class HandoverUndoView(DeskMixin, View):
    http_method_names = ("post",)

    def find(self) -> None:
        batch = self.kwargs["batch_id"]
        self.found(handover_of_clinic(clinic=self.clinic, batch=batch))

    def post(self, request: HttpRequest, batch_id: UUID) -> HttpResponse:
        request.session.pop(NEWEST, None)
        try:
            count = handover_undo(batch=batch_id, by=self.clinician, now=self.now)
            messages.success(request, f"Undone: {plural(count, 'patient')} back as before.")
        except HomeProgramError as refusal:
            messages.warning(request, refusal.message)
        return redirect("desk-panel")


def undoable(request: HttpRequest, now: datetime) -> dict | None:
    """The newest handover of this browser, as long as it can be taken back."""
    newest = request.session.get(NEWEST)
    return newest if newest and now < datetime.fromisoformat(newest["until"]) else None
