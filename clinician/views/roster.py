"""Who is there, who covers: everybody for themselves, a lead for all."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect

from clinician.forms.roster import AbsenceForm, ClosureForm, WeekForm
from clinician.selectors.roster_page import (
    absence_of_clinic,
    covers_of,
    roster_page,
    tomorrow,
    week_of,
)
from clinician.services.duty import absence_record, absence_take_back, week_set
from clinician.views.base import DeskForm, DeskMixin, DeskPage
from homeprogram.selectors import record


class RosterView(DeskPage):
    template_name = "clinician/roster.html"
    area = "roster"

    def get_context_data(self, **kwargs) -> dict:
        page = roster_page(clinic=self.clinic, me=self.clinician, now=self.now)
        return super().get_context_data(page=page, **kwargs)


class RosterForm(DeskForm):
    """About the one who is signed in, until a lead names somebody else."""

    area = "roster"

    def find(self) -> None:
        self.person = self.clinician
        if clinician_id := self.kwargs.get("clinician_id"):
            found = record.clinician_of_clinic(clinic=self.clinic, clinician_id=clinician_id)
            self.person = self.found(found if found and found.active else None)

    def get_form_kwargs(self) -> dict:
        people = covers_of(clinic=self.clinic, but=self.person)
        return super().get_form_kwargs() | {"people": people}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(person=self.person, **kwargs)

    def cover(self, clinician_id: str):
        if not clinician_id:
            return None
        return record.clinician_of_clinic(clinic=self.clinic, clinician_id=UUID(clinician_id))


class WeekView(RosterForm):
    template_name = "clinician/roster_week.html"
    form_class = WeekForm
    said = "Saved. The roster counts by it from now on."

    def get_initial(self) -> dict:
        return week_of(clinician=self.person)

    def act(self, form: WeekForm) -> HttpResponse:
        week_set(
            clinician=self.person,
            weekdays=form.cleaned_data["weekdays"],
            cover=self.cover(form.cleaned_data["cover"]),
            by=self.clinician,
            now=self.now,
        )
        return redirect("roster")


class WeekOfView(WeekView):
    lead_only = True


class AbsenceView(RosterForm):
    template_name = "clinician/roster_absence.html"
    form_class = AbsenceForm
    said = "Saved. On those days the cover is asked first."

    def get_initial(self) -> dict:
        day = tomorrow(self.clinic, self.now)
        return {"first_day": day, "last_day": day, "cover": week_of(clinician=self.person)["cover"]}

    def act(self, form: AbsenceForm) -> HttpResponse:
        said = form.cleaned_data
        absence_record(
            clinic=self.clinic,
            clinician=self.person,
            by=self.clinician,
            now=self.now,
            **said | {"cover": self.cover(said["cover"])},
        )
        return redirect("roster")


class AbsenceOfView(AbsenceView):
    lead_only = True


class ClosureView(AbsenceView):
    """Nobody is away then but the clinic as a whole."""

    template_name = "clinician/roster_closure.html"
    form_class = ClosureForm
    lead_only = True
    said = "Saved. On those days the one named answers for every safety flag."

    def find(self) -> None:
        self.person = None

    def get_initial(self) -> dict:
        day = tomorrow(self.clinic, self.now)
        return {"first_day": day, "last_day": day}


class AbsenceBackView(DeskMixin):
    """Taken back: by whose it is, or by a lead."""

    http_method_names = ("post",)

    def find(self) -> None:
        self.absence = self.found(
            absence_of_clinic(clinic=self.clinic, absence_id=self.kwargs["absence_id"])
        )
        if not self.clinician.is_lead and self.absence.clinician_id != self.clinician.id:
            raise Http404

    def post(self, request: HttpRequest, **kwargs) -> HttpResponse:
        absence_take_back(absence=self.absence, by=self.clinician, now=self.now)
        messages.success(request, "Taken back. The roster counts those days again.")
        return redirect("roster")
