"""Keep a form that is being typed, or throw it away."""

from django.http import HttpRequest, HttpResponse, JsonResponse

from clinician.selectors.drafts import patient_of_draft
from clinician.services.drafts import draft_drop, draft_keep
from clinician.views.base import DeskMixin
from homeprogram.errors import HomeProgramError


class DraftView(DeskMixin):
    """POST only. The key names a form about a patient of this clinic."""

    http_method_names = ("post", "options")

    def find(self) -> None:
        self.key = self.kwargs["draft"]
        self.patient = self.found(patient_of_draft(clinic=self.clinic, key=self.key))

    def post(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        if "discard" in request.POST:
            draft_drop(by=self.clinician, key=self.key)
            return self.to_patient(self.patient.id)
        try:
            self._keep()
        except HomeProgramError as refusal:
            body = {"code": refusal.code, "message": refusal.message, "fields": refusal.fields}
            return JsonResponse(body, status=400)
        return HttpResponse(status=204)

    def on_idle(self) -> None:
        self.find()
        if "discard" not in self.request.POST:
            self._keep()

    def _keep(self) -> None:
        typed = dict(self.request.POST.lists())
        draft_keep(by=self.clinician, key=self.key, data=typed, now=self.now)
