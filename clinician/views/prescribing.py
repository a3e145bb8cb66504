"""Stimulator profiles and protocol families of the clinic."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from clinician.forms.prescribing import FamilyForm, StimulatorForm
from clinician.selectors.drafts import draft_key, episode_of_draft
from clinician.selectors.families import family_cards
from clinician.services.drafts import draft_keep
from clinician.views.base import DeskForm, DeskPage
from homeprogram.selectors.stimulators import stimulator_of_clinic, stimulator_profiles
from homeprogram.services.families import family_add
from homeprogram.services.stimulators import stimulator_add, stimulator_edit

STARTER = {"channels": 2, "unit": "mA", "waveform": "symmetric_biphasic"}


class StimulatorListView(DeskPage):
    template_name = "clinician/stimulators.html"
    area = "stimulators"

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            stimulators=stimulator_profiles(clinic=self.clinic), **kwargs
        )


class StimulatorFormView(DeskForm):
    template_name = "clinician/stimulator_form.html"
    form_class = StimulatorForm
    area = "stimulators"
    said = "Stimulator profile saved."
    profile = None

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(profile=self.profile, **kwargs)

    def act(self, form: StimulatorForm) -> HttpResponse:
        self.save(form.cleaned_data)
        return redirect(reverse("stimulator-list"))


class StimulatorAddView(StimulatorFormView):
    initial = STARTER

    def save(self, figures: dict) -> None:
        stimulator_add(clinic=self.clinic, **figures)


class StimulatorEditView(StimulatorFormView):
    """A profile that revisions name keeps its unit and waveform."""

    def find(self) -> None:
        self.profile = self.found(
            stimulator_of_clinic(clinic=self.clinic, stimulator_id=self.kwargs["stimulator_id"])
        )

    def get_initial(self) -> dict:
        return {name: getattr(self.profile, name) for name in StimulatorForm.base_fields}

    def save(self, figures: dict) -> None:
        stimulator_edit(profile=self.profile, **figures)


class FamilyListView(DeskPage):
    template_name = "clinician/families.html"
    area = "families"

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(families=family_cards(clinic=self.clinic), **kwargs)


class FamilyAddView(DeskForm):
    """Empty, or filled with what the program form held when its button was pressed."""

    template_name = "clinician/family_form.html"
    form_class = FamilyForm
    area = "families"
    said = "Family saved. It stands beside ours where a home program starts."

    def post(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        if "keep_family" in request.POST:
            self._keep_draft()
            form = self.form_class(initial=self._typed())
            return self.render_to_response(self.get_context_data(form=form))
        return super().post(request, *args, **kwargs)

    @property
    def episode(self):
        """The home program the figures came from, if they did."""
        return episode_of_draft(clinic=self.clinic, key=self.request.POST.get("draft", ""))

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(episode=self.episode, **kwargs)

    def _keep_draft(self) -> None:
        """Nobody loses a form by looking at another page."""
        if episode := self.episode:
            typed = dict(self.request.POST.lists())
            draft_keep(by=self.clinician, key=draft_key(episode), data=typed, now=self.now)

    def _typed(self) -> dict:
        posted = self.request.POST
        typed = {name: posted[name] for name in self.form_class.base_fields if name in posted}
        if posted.get("contractions_per_bout"):
            typed["bout_min"] = ""
        return typed | {"days_per_week": len(posted.getlist("weekdays")) or ""}

    def act(self, form: FamilyForm) -> HttpResponse:
        said = form.cleaned_data
        family_add(
            by=self.clinician,
            name=said["name"],
            source=said["source"],
            values=form.values(),
            now=self.now,
        )
        if episode := self.episode:
            return redirect(reverse("program-start", kwargs={"episode_id": episode.id}))
        return redirect(reverse("family-list"))
