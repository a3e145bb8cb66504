"""A patient's reminders: what is agreed, what comes, what went out; and a request to call."""

from datetime import time

from django.conf import settings
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone

from clinician.forms.reminders import ReminderForm
from clinician.selectors.reminder_cases import quiet_of
from clinician.selectors.reminder_page import reminder_page, setting_of, ways_stopped
from clinician.services.channels.routes import ROUTES
from clinician.services.contact_requests import contact_request_send
from clinician.services.reminder_settings import reminder_settings_set
from clinician.services.reminders import reaches_by
from clinician.views.base import DeskForm, DeskPage
from homeprogram.calc.texts import FIRST

USUAL = time(18)


class OfPatient:
    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, **kwargs)

    def to_reminders(self) -> HttpResponse:
        return redirect("reminder-page", patient_id=self.patient.id)


class ReminderPageView(OfPatient, DeskPage):
    template_name = "clinician/reminder_page.html"

    def get_context_data(self, **kwargs) -> dict:
        page = reminder_page(patient=self.patient, now=self.now, reaches=reaches_by(ROUTES))
        return super().get_context_data(page=page, **kwargs)


class ReminderSetView(OfPatient, DeskForm):
    template_name = "clinician/reminder_set.html"
    form_class = ReminderForm
    said = "Saved. It holds from now on."

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {
            "open_ways": list(ROUTES),
            "stopped": ways_stopped(patient=self.patient),
            "quiet": quiet_of(self.clinic),
        }

    def get_initial(self) -> dict:
        setting = setting_of(patient=self.patient)
        if setting is None:
            return {"on": True, "time_1": USUAL, "language": FIRST}
        times = {f"time_{n}": at for n, at in enumerate(setting.times, start=1)}
        names = ("on", "ways", "email", "mobile", "language")
        return times | {name: getattr(setting, name) for name in names}

    def act(self, form: ReminderForm) -> HttpResponse:
        reminder_settings_set(
            patient=self.patient, by=self.clinician, now=self.now, **form.agreed()
        )
        return self.to_reminders()


class ContactRequestView(OfPatient, DeskForm):
    """One message by hand; it says no more than "please call us when you can"."""

    template_name = "clinician/contact_request.html"
    form_class = Form

    def act(self, form: Form) -> HttpResponse:
        sent = contact_request_send(
            patient=self.patient,
            by=self.clinician,
            routes=ROUTES,
            site=settings.SITE_URL,
            clock=timezone.now,
        )
        self.said = f"{sent.get_outcome_display().capitalize()}, by {sent.get_way_display()}."
        return self.to_reminders()
