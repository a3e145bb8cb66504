"""One patient: everything the clinic knows, and a new one."""

from django.http import HttpResponse

from clinician.forms.patient import ConsentForm, EpisodeForm, PatientForm
from clinician.selectors.chart_words import FALSE_SIGNALS
from clinician.selectors.charts import RANGES
from clinician.selectors.choices import FLAG_OUTCOMES
from clinician.selectors.patient_page import patient_page
from clinician.selectors.strip import LEGEND
from clinician.selectors.words import WEEKDAYS
from clinician.services.intake import patient_intake
from clinician.views.base import DeskForm, DeskPage
from clinician.views.course_numbers import weeks_asked
from clinician.views.patient_sections import MAIN, SIDE
from homeprogram.calc.limits import RUN_POINTS_MIN
from homeprogram.services.patients import consent_record, episode_add

CHARTS = {
    "ranges": list(RANGES.items()),
    "run_points": RUN_POINTS_MIN,
    "false_signals": FALSE_SIGNALS,
}


class PatientView(DeskPage):
    template_name = "clinician/patient.html"

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_context_data(self, **kwargs) -> dict:
        page = patient_page(patient=self.patient, now=self.now, weeks=weeks_asked(self.request))
        sections = {"page": page, "main": MAIN, "side": SIDE}
        marks = {"legend": LEGEND, "weekdays": WEEKDAYS, "outcomes": FLAG_OUTCOMES}
        return super().get_context_data(**sections, **marks, **CHARTS, **kwargs)


class PatientAddView(DeskForm):
    """Patient, consent and first episode in one go: all or nothing."""

    template_name = "clinician/patient_add.html"
    form_class = PatientForm
    area = "add"
    said = "Patient added. Next: a home program."

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"today": self.now.date()}

    def get_initial(self) -> dict:
        return {"zone": self.clinic.zone, "given_on": self.now.date()}

    def act(self, form: PatientForm) -> HttpResponse:
        patient = patient_intake(by=self.clinician, now=self.now, **form.cleaned_data)
        return self.to_patient(patient.id)


class EpisodeAddView(DeskForm):
    """Another limb, or the same one again later."""

    template_name = "clinician/episode_add.html"
    form_class = EpisodeForm
    said = "Episode added."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"today": self.now.date()}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, **kwargs)

    def act(self, form: EpisodeForm) -> HttpResponse:
        episode_add(
            patient=self.patient, starts_on=self.now.date(), now=self.now, **form.cleaned_data
        )
        return self.to_patient(self.patient.id, "episodes")


class ConsentView(DeskForm):
    template_name = "clinician/consent.html"
    form_class = ConsentForm
    said = "Consent recorded."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {
            "today": self.now.date(),
            "born_on": self.patient.born_on,
        }

    def get_initial(self) -> dict:
        return {"given_on": self.now.date()}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, **kwargs)

    def act(self, form: ConsentForm) -> HttpResponse:
        consent_record(patient=self.patient, by=self.clinician, now=self.now, **form.cleaned_data)
        return self.to_patient(self.patient.id, "consent")
