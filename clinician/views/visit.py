"""A contact with the patient, written down by who made it."""

from django.http import HttpResponse

from clinician.forms.decisions import VisitForm
from clinician.views.base import DeskForm
from homeprogram.selectors import record
from homeprogram.services.patients import visit_record


class VisitAddView(DeskForm):
    template_name = "clinician/visit_add.html"
    form_class = VisitForm
    said = "Visit recorded."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])
        self.episodes = {str(e.id): e for e in record.episodes_of_patient(patient=self.patient)}

    def get_form_kwargs(self) -> dict:
        about = [(key, f"{e.limb.upper()} leg") for key, e in self.episodes.items()]
        return super().get_form_kwargs() | {"episodes": about, "today": self.now.date()}

    def get_initial(self) -> dict:
        return {"on": self.now.date()}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, **kwargs)

    def act(self, form: VisitForm) -> HttpResponse:
        said = form.cleaned_data
        visit_record(
            episode=self.episodes[said["episode"]],
            by=self.clinician,
            kind=said["kind"],
            on=said["on"],
            note=said["note"],
            now=self.now,
        )
        return self.to_patient(self.patient.id, "visits")
