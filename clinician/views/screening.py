"""The screening of one limb, before a first dose and whenever it is asked for again."""

from django.contrib import messages
from django.http import HttpResponse

from clinician.forms.screening import ScreeningForm
from clinician.selectors.screening_words import WHY_AGAIN, outcome_said
from clinician.views.base import DeskForm
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.guidance import screening_conditions
from homeprogram.selectors import record
from homeprogram.selectors.screenings import answers_of, standing_of_episode
from homeprogram.services.screenings import screening_record


class ScreeningRecordView(DeskForm):
    template_name = "clinician/screening.html"
    form_class = ScreeningForm

    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )
        self.standing = standing_of_episode(episode=self.episode, now=self.now)

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"conditions": screening_conditions()}

    def get_initial(self) -> dict:
        today = local_day(self.now, zone_or_utc(self.episode.patient.zone))
        if self.standing.screening is None:
            return {"on": today, "occasion": "first"}
        return {"on": today, "occasion": next(iter(self.standing.due), "other")}

    def get_context_data(self, **kwargs) -> dict:
        context = super().get_context_data(
            patient=self.episode.patient,
            episode=self.episode,
            limb=self.episode.limb.upper(),
            again=[WHY_AGAIN[reason] for reason in self.standing.due],
            **kwargs,
        )
        latest = self.standing.screening
        before = answers_of(latest) if latest else {}
        return context | {"questions": context["form"].questions(before)}

    def act(self, form: ScreeningForm) -> HttpResponse:
        screening = screening_record(
            episode=self.episode,
            by=self.clinician,
            on=form.cleaned_data["on"],
            occasion=form.cleaned_data["occasion"],
            answers=form.answers(),
            now=self.now,
        )
        messages.success(self.request, outcome_said(screening))
        return self.to_patient(self.episode.patient_id, f"screening-{self.episode.id}")
