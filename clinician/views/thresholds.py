"""Thresholds of the flags, with what they would have raised before anything is saved."""

from django.http import HttpResponse
from django.shortcuts import redirect

from clinician.forms.thresholds import ClinicRulesForm, PatientRulesForm, ThresholdsForm
from clinician.selectors.preview import Preview, preview_clinic, preview_patient
from clinician.views.base import DeskForm
from homeprogram.calc.limits import FlagRules
from homeprogram.services.clinics import clinic_rules_set
from homeprogram.services.settings import patient_rules_set


class ThresholdsView(DeskForm):
    """Two buttons: one shows, one saves."""

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"standing": FlagRules.of_clinic(self.clinic.rules)}

    def form_valid(self, form: ThresholdsForm) -> HttpResponse:
        if "preview" in self.request.POST:
            context = self.get_context_data(form=form, preview=self.preview(form))
            return self.render_to_response(context)
        return super().form_valid(form)

    def preview(self, form: ThresholdsForm) -> Preview:
        raise NotImplementedError


class ClinicRulesView(ThresholdsView):
    template_name = "clinician/clinic_rules.html"
    form_class = ClinicRulesForm
    area = "clinic"
    lead_only = True
    said = "Saved. Flags are judged by these thresholds from now on."

    def get_initial(self) -> dict:
        return ClinicRulesForm.initial_of(self.clinic)

    def rules(self, form: ClinicRulesForm) -> dict:
        kept = {k: v for k, v in self.clinic.rules.items() if k not in form.names}
        return kept | form.own_rules()

    def preview(self, form: ClinicRulesForm) -> Preview:
        return preview_clinic(clinic=self.clinic, rules=self.rules(form), now=self.now)

    def act(self, form: ClinicRulesForm) -> HttpResponse:
        rules = self.rules(form)
        clinic_rules_set(clinic=self.clinic, rules=rules, by=self.clinician, now=self.now)
        return redirect("clinic-rules")


class PatientRulesView(ThresholdsView):
    template_name = "clinician/patient_rules.html"
    form_class = PatientRulesForm
    said = "Saved. This patient's flags are judged by these thresholds from now on."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_form(self, form_class: type | None = None) -> PatientRulesForm:
        form = super().get_form(form_class)
        form.fields["reason"].required = "preview" not in self.request.POST
        return form

    def get_initial(self) -> dict:
        return dict(self.patient.rules)

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, **kwargs)

    def preview(self, form: PatientRulesForm) -> Preview:
        return preview_patient(patient=self.patient, rules=form.own_rules(), now=self.now)

    def act(self, form: PatientRulesForm) -> HttpResponse:
        patient_rules_set(
            patient=self.patient,
            rules=form.own_rules(),
            reason=form.cleaned_data["reason"],
            by=self.clinician,
            now=self.now,
        )
        return self.to_patient(self.patient.id, "rules")
