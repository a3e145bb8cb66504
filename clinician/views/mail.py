"""What reminders do, for the lead; and what each clinician wants by mail."""

from django.http import HttpResponse
from django.shortcuts import redirect

from clinician.forms.mail import StaffMailForm
from clinician.selectors.reminder_effect import effect_page
from clinician.selectors.staff_mails import wants_digest
from clinician.services.staff_mail_settings import staff_mail_set
from clinician.views.base import DeskForm, DeskPage


class ReminderEffectView(DeskPage):
    template_name = "clinician/reminder_effect.html"
    area = "clinic"
    lead_only = True

    def get_context_data(self, **kwargs) -> dict:
        page = effect_page(clinic=self.clinic, now=self.now)
        return super().get_context_data(page=page, **kwargs)


class StaffMailView(DeskForm):
    """One's own mail: nobody sets it for another."""

    template_name = "clinician/staff_mail.html"
    form_class = StaffMailForm
    said = "Saved."

    def get_initial(self) -> dict:
        return {"digest": wants_digest(clinician=self.clinician)}

    def act(self, form: StaffMailForm) -> HttpResponse:
        staff_mail_set(clinician=self.clinician, digest=form.cleaned_data["digest"])
        return redirect("staff-mail")
