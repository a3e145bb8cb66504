"""The clinic's texts and thresholds, for a lead."""

from django.http import HttpResponse
from django.shortcuts import redirect

from clinician.forms.clinic import CONTACT, RULES, ClinicRulesForm, ClinicTextsForm
from clinician.views.base import DeskForm
from homeprogram.services.clinics import clinic_rules_set, clinic_texts_set


class ClinicTextsView(DeskForm):
    template_name = "clinician/clinic_texts.html"
    form_class = ClinicTextsForm
    area = "clinic"
    lead_only = True
    said = "Saved. Every phone of the clinic hears of it at its next contact."

    def get_initial(self) -> dict:
        return ClinicTextsForm.initial_of(self.clinic)

    def act(self, form: ClinicTextsForm) -> HttpResponse:
        contact = {name: form.cleaned_data[name] for name in CONTACT}
        kept = {k: v for k, v in self.clinic.texts.items() if k == "cautions"}
        clinic_texts_set(clinic=self.clinic, texts=kept | form.own_texts(), **contact)
        return redirect("clinic-texts")


class ClinicRulesView(DeskForm):
    template_name = "clinician/clinic_rules.html"
    form_class = ClinicRulesForm
    area = "rules"
    lead_only = True
    said = "Saved. Flags are judged by these thresholds from now on."

    def get_initial(self) -> dict:
        return ClinicRulesForm.initial_of(self.clinic)

    def act(self, form: ClinicRulesForm) -> HttpResponse:
        kept = {k: v for k, v in self.clinic.rules.items() if k not in RULES}
        clinic_rules_set(clinic=self.clinic, rules=kept | form.own_rules())
        return redirect("clinic-rules")
