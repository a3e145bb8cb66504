"""The clinic's texts, thresholds and course values, for a lead."""

from django.http import HttpResponse
from django.shortcuts import redirect

from clinician.forms.clinic import (
    CONTACT,
    RULES,
    ClinicCourseForm,
    ClinicRulesForm,
    ClinicTextsForm,
)
from clinician.views.base import DeskForm
from homeprogram.calc.texts import FIRST, LANGUAGES
from homeprogram.services.clinics import clinic_course_set, clinic_rules_set, clinic_texts_set


class ClinicTextsView(DeskForm):
    template_name = "clinician/clinic_texts.html"
    form_class = ClinicTextsForm
    area = "clinic"
    lead_only = True
    said = "Saved. Every phone of the clinic hears of it at its next contact."

    @property
    def language(self) -> str:
        asked = self.request.GET.get("language", FIRST)
        return asked if asked in LANGUAGES else FIRST

    def get_initial(self) -> dict:
        return ClinicTextsForm.initial_of(self.clinic, self.language)

    def get_form_kwargs(self) -> dict:
        told = {"texts": self.clinic.texts, "language": self.language}
        return super().get_form_kwargs() | told

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(languages=LANGUAGES, language=self.language, **kwargs)

    def act(self, form: ClinicTextsForm) -> HttpResponse:
        contact = {name: form.cleaned_data[name] for name in CONTACT}
        clinic_texts_set(clinic=self.clinic, texts=form.own_texts(), **contact)
        return redirect(self.request.get_full_path())


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


class ClinicCourseView(DeskForm):
    template_name = "clinician/clinic_course.html"
    form_class = ClinicCourseForm
    area = "rules"
    lead_only = True
    said = "Saved. Courses are looked at by these values from now on."

    def get_initial(self) -> dict:
        return ClinicCourseForm.initial_of(self.clinic)

    def act(self, form: ClinicCourseForm) -> HttpResponse:
        clinic_course_set(clinic=self.clinic, course=form.own_course())
        return redirect("clinic-course")
