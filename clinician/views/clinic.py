"""The clinic's settings, for a lead: all of them from one page, every change with its author."""

from django.http import HttpResponse
from django.shortcuts import redirect

from clinician.forms.clinic import (
    CONTACT,
    ClinicCourseForm,
    ClinicTextsForm,
)
from clinician.forms.settings import ClinicSettingsForm
from clinician.selectors.settings_page import history, past_records, settings_lines
from clinician.views.base import DeskForm, DeskPage
from homeprogram.calc.texts import FIRST, LANGUAGES
from homeprogram.services.clinics import clinic_course_set, clinic_texts_set
from homeprogram.services.settings import clinic_settings_set


class ClinicView(DeskPage):
    """Where every setting is found."""

    template_name = "clinician/clinic.html"
    area = "clinic"
    lead_only = True

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(lines=settings_lines(clinic=self.clinic), **kwargs)


class ClinicSettingsView(DeskForm):
    template_name = "clinician/clinic_settings.html"
    form_class = ClinicSettingsForm
    area = "clinic"
    lead_only = True
    said = "Saved. These values hold from now on."

    def get_initial(self) -> dict:
        return ClinicSettingsForm.initial_of(self.clinic)

    def act(self, form: ClinicSettingsForm) -> HttpResponse:
        settings = form.own_settings()
        clinic_settings_set(clinic=self.clinic, settings=settings, by=self.clinician, now=self.now)
        return redirect("clinic")


class ClinicHistoryView(DeskPage):
    template_name = "clinician/clinic_history.html"
    area = "clinic"
    lead_only = True

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(changes=history(clinic=self.clinic), **kwargs)


class PastRecordsView(DeskPage):
    """A listing; nothing is removed by itself."""

    template_name = "clinician/clinic_past.html"
    area = "clinic"
    lead_only = True

    def get_context_data(self, **kwargs) -> dict:
        years = ClinicSettingsForm.initial_of(self.clinic)["retention_years"]
        records = past_records(clinic=self.clinic, now=self.now)
        return super().get_context_data(records=records, years=years, **kwargs)


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
        clinic_texts_set(
            clinic=self.clinic, texts=form.own_texts(), by=self.clinician, now=self.now, **contact
        )
        return redirect(self.request.get_full_path())


class ClinicCourseView(DeskForm):
    template_name = "clinician/clinic_course.html"
    form_class = ClinicCourseForm
    area = "clinic"
    lead_only = True
    said = "Saved. Courses are looked at by these values from now on."

    def get_initial(self) -> dict:
        return ClinicCourseForm.initial_of(self.clinic)

    def act(self, form: ClinicCourseForm) -> HttpResponse:
        course = form.own_course()
        clinic_course_set(clinic=self.clinic, course=course, by=self.clinician, now=self.now)
        return redirect("clinic-course")
