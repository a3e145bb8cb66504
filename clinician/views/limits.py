"""The surgeon's dated limits: write one down, end one."""

from datetime import date

from django.http import HttpResponse

from clinician.forms.limits import LimitEndForm, LimitForm
from clinician.selectors.limits import limit_line
from clinician.views.base import DeskForm
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.selectors import record
from homeprogram.selectors.prescribing import limit_of_clinic
from homeprogram.services.screenings import surgeon_limit_end, surgeon_limit_record


class _EpisodeForm(DeskForm):
    """A page about one episode of this clinic."""

    episode = None

    @property
    def today(self) -> date:
        return local_day(self.now, zone_or_utc(self.episode.patient.zone))

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            patient=self.episode.patient,
            episode=self.episode,
            limb=self.episode.limb.upper(),
            **kwargs,
        )

    def back(self) -> HttpResponse:
        return self.to_patient(self.episode.patient_id, f"limits-{self.episode.id}")


class LimitRecordView(_EpisodeForm):
    template_name = "clinician/limit_record.html"
    form_class = LimitForm
    said = "Limit recorded. Exercises are compared with it from its first day."

    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )

    def get_initial(self) -> dict:
        return {"first_day": self.today}

    def act(self, form: LimitForm) -> HttpResponse:
        surgeon_limit_record(
            episode=self.episode, by=self.clinician, now=self.now, **form.cleaned_data
        )
        return self.back()


class LimitEndView(_EpisodeForm):
    template_name = "clinician/limit_end.html"
    form_class = LimitEndForm
    said = "The limit has an end. It stays on the record."

    def find(self) -> None:
        self.limit = self.found(
            limit_of_clinic(clinic=self.clinic, limit_id=self.kwargs["limit_id"])
        )
        self.episode = self.limit.episode

    def get_initial(self) -> dict:
        return {"last_day": self.today}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(line=limit_line(self.limit, self.today), **kwargs)

    def act(self, form: LimitEndForm) -> HttpResponse:
        surgeon_limit_end(limit=self.limit, last_day=form.cleaned_data["last_day"])
        return self.back()
