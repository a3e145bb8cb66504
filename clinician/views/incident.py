"""Incidents: record, read, add to, print, close."""

from django.http import HttpResponse
from django.shortcuts import redirect

from clinician.forms.incident import IncidentCloseForm, IncidentForm, SupplementForm
from clinician.selectors.incidents import incident_of_clinic, incident_report
from clinician.selectors.lending import open_loans
from clinician.services.incidents import incident_add, incident_close, incident_record
from clinician.views.base import DeskForm, DeskMixin, DeskPage
from homeprogram.calc.days import zone_or_utc
from homeprogram.selectors import record


class IncidentRecordView(DeskForm):
    template_name = "clinician/incident_form.html"
    form_class = IncidentForm

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])
        self.zone = zone_or_utc(self.clinic.zone)
        self.episodes = {str(e.id): e for e in record.episodes_of_patient(patient=self.patient)}
        loans = open_loans(patient=self.patient)
        self.own = {str(loan.stimulator_id): loan.stimulator for loan in loans}

    def get_form_kwargs(self) -> dict:
        named = [(key, f"{one.asset_number}, {one.profile.name}") for key, one in self.own.items()]
        return super().get_form_kwargs() | {
            "episodes": [(key, f"{e.limb.upper()} leg") for key, e in self.episodes.items()],
            "stimulators": named,
            "zone": self.zone,
        }

    def get_initial(self) -> dict:
        only = next(iter(self.episodes)) if len(self.episodes) == 1 else None
        lent = next(iter(self.own)) if len(self.own) == 1 else None
        return {"on": self.now.astimezone(self.zone).date(), "episode": only, "stimulator": lent}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, **kwargs)

    def act(self, form: IncidentForm) -> HttpResponse:
        said = dict(form.cleaned_data)
        grade = said.pop("skin_grade")
        for name in ("on", "at"):
            del said[name]
        incident = incident_record(
            patient=self.patient,
            by=self.clinician,
            episode=self.episodes.get(said.pop("episode")),
            stimulator=self.own.get(said.pop("stimulator")),
            happened_at=said.pop("moment"),
            skin_grade=int(grade) if grade else None,
            now=self.now,
            **said,
        )
        return redirect("incident-detail", incident_id=incident.id)


class _OneIncident(DeskMixin):
    def find(self) -> None:
        self.incident = self.found(
            incident_of_clinic(clinic=self.clinic, incident_id=self.kwargs["incident_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            patient=self.incident.patient,
            report=incident_report(incident=self.incident),
            **kwargs,
        )


class IncidentDetailView(_OneIncident, DeskForm):
    """The locked facts, and a form that adds to them."""

    template_name = "clinician/incident_detail.html"
    form_class = SupplementForm
    said = "Added."

    def act(self, form: SupplementForm) -> HttpResponse:
        incident_add(incident=self.incident, by=self.clinician, now=self.now, **form.cleaned_data)
        return redirect("incident-detail", incident_id=self.incident.id)


class IncidentCloseView(_OneIncident, DeskForm):
    template_name = "clinician/incident_close.html"
    form_class = IncidentCloseForm
    said = "Incident closed. It stays to be read."

    def act(self, form: IncidentCloseForm) -> HttpResponse:
        incident_close(incident=self.incident, by=self.clinician, now=self.now, **form.cleaned_data)
        return self.to_patient(self.incident.patient_id, "incidents")


class IncidentReportView(_OneIncident, DeskPage):
    template_name = "clinician/incident_report.html"

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(printed_at=self.now, **kwargs)
