"""End an episode through its list, print its letter, open it again."""

from django.http import HttpResponse

from clinician.forms.discharge import DischargeForm, ReopenForm
from clinician.selectors.discharge import (
    ITEMS,
    discharge_items,
    discharge_of_clinic,
    others_open,
    phones_paired,
    unmet,
)
from clinician.selectors.drafts import discharge_draft_key, draft_of
from clinician.selectors.words import day_long, moment_long
from clinician.services.discharges import episode_discharge
from clinician.services.drafts import draft_drop, draft_keep
from clinician.views.base import DeskForm, DeskPage
from homeprogram.calc.days import zone_or_utc
from homeprogram.selectors import record
from homeprogram.services.episodes import episode_reopen


class _EpisodeMixin:
    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            patient=self.episode.patient,
            episode=self.episode,
            limb=self.episode.limb.upper(),
            **kwargs,
        )


class EpisodeDischargeView(_EpisodeMixin, DeskForm):
    template_name = "clinician/discharge.html"
    form_class = DischargeForm
    said = "Episode ended. Its letter stands under the home program."

    def find(self) -> None:
        super().find()
        self.key = discharge_draft_key(self.episode)
        self.draft = draft_of(clinician=self.clinician, key=self.key)

    def get_form_kwargs(self) -> dict:
        items = discharge_items(episode=self.episode)
        return super().get_form_kwargs() | {"items": items}

    def get_initial(self) -> dict:
        """The list as it was left: it is gone through over days."""
        kept = self.draft.data if self.draft else {}
        return {name: values[-1] for name, values in kept.items()}

    def get_context_data(self, **kwargs) -> dict:
        zone = zone_or_utc(self.clinic.zone)
        return super().get_context_data(
            unmet=unmet(episode=self.episode, now=self.now),
            others=others_open(self.episode),
            draft_key=self.key,
            kept_at=moment_long(self.draft.saved_at, zone) if self.draft else "",
            **kwargs,
        )

    def act(self, form: DischargeForm) -> HttpResponse:
        episode_discharge(
            episode=self.episode,
            by=self.clinician,
            reason=form.cleaned_data["reason"],
            home_plan=form.cleaned_data["home_plan"],
            items=form.answers,
            now=self.now,
        )
        draft_drop(by=self.clinician, key=self.key)
        return self.to_patient(self.episode.patient_id, "episodes")

    def on_idle(self) -> None:
        self.find()
        if self.request.method == "POST":
            typed = dict(self.request.POST.lists())
            draft_keep(by=self.clinician, key=self.key, data=typed, now=self.now)


class EpisodeReopenView(_EpisodeMixin, DeskForm):
    template_name = "clinician/episode_reopen.html"
    form_class = ReopenForm
    said = "Episode opened again. Its home program is paused until somebody ends the pause."

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(paired=phones_paired(self.episode), **kwargs)

    def act(self, form: ReopenForm) -> HttpResponse:
        episode_reopen(
            episode=self.episode,
            by=self.clinician,
            reason=form.cleaned_data["reason"],
            now=self.now,
        )
        return self.to_patient(self.episode.patient_id, "episodes")


class DischargeLetterView(DeskPage):
    """On paper, for the patient or whoever referred them. The figures are those of that day."""

    template_name = "clinician/discharge_letter.html"

    def find(self) -> None:
        one = discharge_of_clinic(clinic=self.clinic, discharge_id=self.kwargs["discharge_id"])
        self.discharge = self.found(one)

    def get_context_data(self, **kwargs) -> dict:
        one = self.discharge
        return super().get_context_data(
            discharge=one,
            patient=one.patient,
            limb=one.episode.limb.upper(),
            ended=day_long(one.ended_on),
            items=[(ITEMS.get(item["code"], item["code"]), item["because"]) for item in one.items],
            signed=moment_long(one.discharged_at, zone_or_utc(self.clinic.zone)),
            **kwargs,
        )
