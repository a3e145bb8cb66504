"""Assign and revise a home program."""

from collections.abc import Sequence
from datetime import date, timedelta

from django.contrib import messages
from django.http import HttpResponse

from clinician.forms.program import ProgramForm
from clinician.forms.program_values import (
    check_request,
    counts,
    dose_of,
    from_family,
    from_revision,
    from_scratch,
)
from clinician.selectors.families import family_cards
from clinician.views.base import DeskForm, DeskPage
from homeprogram.calc import guidance
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.dose_check import dose_check
from homeprogram.selectors import record
from homeprogram.services.programs import program_assign, revision_add

SCRATCH = "scratch"
COURSE_WEEKS = 6  # where no family says how long
COMPARED = {"monophasic", "symmetric_biphasic"}  # waveforms this form describes in full


class FamilyChoiceView(DeskPage):
    """Where a first dose comes from."""

    template_name = "clinician/family_choice.html"

    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            episode=self.episode,
            patient=self.episode.patient,
            limb=self.episode.limb.upper(),
            families=family_cards(self.episode),
            **kwargs,
        )


class ProgramFormView(DeskForm):
    """Shared by assigning and revising: check counts, or save."""

    template_name = "clinician/program_form.html"
    form_class = ProgramForm
    kept: Sequence[dict] = ()  # exercises of the revision before

    @property
    def tomorrow(self) -> date:
        return local_day(self.now, zone_or_utc(self.patient.zone)) + timedelta(days=1)

    def get_form_kwargs(self) -> dict:
        stimulators = record.stimulators_of_clinic(clinic=self.clinic)
        return super().get_form_kwargs() | {"stimulators": stimulators, "kept": self.kept}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            patient=self.patient,
            limb=self.episode.limb.upper(),
            episode=self.episode,
            family=self.family,
            **kwargs,
        )

    def act(self, form: ProgramForm) -> HttpResponse:
        return self.check(form) if "check" in self.request.POST else self.keep(form)

    def check(self, form: ProgramForm) -> HttpResponse:
        """Counts and what the sources say, without saving anything."""
        context = self.get_context_data(
            form=form, counts=counts(form), findings=self._findings(form)
        )
        return self.render_to_response(context)

    def _findings(self, form: ProgramForm) -> list[dict] | None:
        """What is not within; None where the form says too little to compare."""
        if form.cleaned_data["waveform"] not in COMPARED:
            return None
        weeks = self.family.weeks if self.family else COURSE_WEEKS
        found = dose_check(check_request(form, weeks))["findings"]
        return [one for one in found if one["level"] != "within"]

    def keep(self, form: ProgramForm) -> HttpResponse:
        said = form.cleaned_data
        revision = self.save(
            by=self.clinician,
            dose=dose_of(form),
            stimulator=form.stimulators[said["stimulator"]],
            first_day=said["first_day"],
            reason=said["reason"],
            now=self.now,
        )
        asked = counts(form)
        messages.success(
            self.request,
            f"Revision {revision.number} saved: {asked['per_bout']} contractions a bout, "
            f"{asked['per_day']} a day, {asked['per_week']} a week. "
            "It is not yet on the phone, and the stimulator is not yet set.",
        )
        return self.to_patient(self.patient.id, "episodes")


class ProgramAssignView(ProgramFormView):
    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )
        self.patient = self.episode.patient
        self.family = self._chosen(self.kwargs["family"])

    def _chosen(self, code: str) -> guidance.Family | None:
        """One of those on offer; references are there to compare with."""
        offered = {family.code: family for family in guidance.families()}
        return None if code == SCRATCH else self.found(offered.get(code))

    def get_initial(self) -> dict:
        if self.family is None:
            return from_scratch(self.tomorrow)
        return from_family(self.family, self.tomorrow)

    def save(self, **dose):
        return program_assign(episode=self.episode, **dose)


class RevisionAddView(ProgramFormView):
    def find(self) -> None:
        self.program = self.found(
            record.program_of_clinic(clinic=self.clinic, program_id=self.kwargs["program_id"])
        )
        self.patient, self.episode = self.program.patient, self.program.episode
        self.newest = record.revisions_of_program(program=self.program)[0]
        self.kept = self.newest.exercises
        self.family = _family_of(self.newest.family)

    def get_initial(self) -> dict:
        return from_revision(self.newest, self.tomorrow)

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(revising=self.newest, **kwargs)

    def save(self, **dose):
        return revision_add(program=self.program, **dose)


def _family_of(code: str) -> guidance.Family | None:
    """The family behind a revision; None when it was made from scratch."""
    try:
        return guidance.family(code)
    except KeyError:
        return None
