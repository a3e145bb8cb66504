"""Reminders without a network: a file for the patient's own calendar."""

from datetime import time

from django.core.exceptions import ValidationError
from django.http import HttpResponse

from clinician.forms.calendar_file import CalendarFileForm
from clinician.selectors.reminder_cases import quiet_of
from clinician.views.base import DeskForm
from homeprogram.calc.limits import CALENDAR_WEEKS
from homeprogram.calc.texts import FIRST
from homeprogram.selectors.calendar_file import calendar_file
from homeprogram.selectors.plans import context_of

USUAL = time(18)


class CalendarFileView(DeskForm):
    template_name = "clinician/calendar_file.html"
    form_class = CalendarFileForm

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"quiet": quiet_of(self.clinic)}

    def get_initial(self) -> dict:
        return {"at": USUAL, "language": FIRST}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, weeks=CALENDAR_WEEKS, **kwargs)

    def act(self, form: CalendarFileForm) -> HttpResponse:
        said = form.cleaned_data
        context = context_of(patient=self.patient, now=self.now, days_back=0)
        file = calendar_file(context, said["at"], language=said["language"])
        if file is None:
            raise ValidationError(
                f"Nothing is due in the next {CALENDAR_WEEKS} weeks: no home program that the "
                "phone knows of, or it is paused, on hold or ended."
            )
        return HttpResponse(
            file,
            content_type="text/calendar; charset=utf-8",
            headers={"Content-Disposition": 'attachment; filename="reminder.ics"'},
        )
