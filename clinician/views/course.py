"""Pause and resume a home program; the stimulator set and read back."""

from datetime import date
from zoneinfo import ZoneInfo

from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from clinician.forms.decisions import PauseForm, StimulatorSetForm
from clinician.selectors.dose_words import dose_lines
from clinician.selectors.returning import return_dose, return_words
from clinician.selectors.screening_words import notices
from clinician.selectors.words import day_short
from clinician.views.base import DeskForm
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.return_dose import ReturnDose
from homeprogram.selectors import record
from homeprogram.selectors.screenings import standing_of_episode
from homeprogram.services.programs import pause_end, program_pause
from homeprogram.services.stimulators import stimulator_set


class ProgramMixin:
    """A page about one home program of this clinic."""

    def find(self) -> None:
        self.program = self.found(
            record.program_of_clinic(clinic=self.clinic, program_id=self.kwargs["program_id"])
        )

    @property
    def today(self) -> date:
        return local_day(self.now, zone_or_utc(self.program.patient.zone))

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            patient=self.program.patient, limb=self.program.episode.limb.upper(), **kwargs
        )


class ProgramPauseView(ProgramMixin, DeskForm):
    template_name = "clinician/program_pause.html"
    form_class = PauseForm
    said = "Paused from today. Nothing is due while the pause runs."

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"today": self.today}

    def act(self, form: PauseForm) -> HttpResponse:
        program_pause(program=self.program, by=self.clinician, now=self.now, **form.cleaned_data)
        return self.to_patient(self.program.patient_id, "episodes")


class PauseEndView(DeskForm):
    """Today becomes the last paused day; then comes the dose to return with."""

    template_name = "clinician/pause_end.html"
    form_class = Form

    def find(self) -> None:
        self.pause = self.found(
            record.pause_of_clinic(clinic=self.clinic, pause_id=self.kwargs["pause_id"])
        )

    @property
    def zone(self) -> ZoneInfo:
        return zone_or_utc(self.pause.program.patient.zone)

    @property
    def back(self) -> ReturnDose:
        return return_dose(self.pause, local_day(self.now, self.zone))

    def get_context_data(self, **kwargs) -> dict:
        program, back = self.pause.program, self.back
        first_day, today = self.pause.first_day, local_day(self.now, self.zone)
        return super().get_context_data(
            patient=program.patient,
            starts=day_short(first_day) if first_day > today else "",
            episode=program.episode,
            limb=program.episode.limb.upper(),
            pause=self.pause,
            back="" if back.as_before else return_words(back),
            screening=notices(episode=program.episode, now=self.now),
            due=standing_of_episode(episode=program.episode, now=self.now).due,
            **kwargs,
        )

    def act(self, form) -> HttpResponse:
        program = self.pause.program
        pause_end(pause=self.pause, by=self.clinician, now=self.now)
        last_day = day_short(self.pause.last_day)
        self.said = f"{last_day} is the last paused day. Bouts are due again after it."
        if "as_before" in self.request.POST or self.back.as_before:
            return self.to_patient(program.patient_id, "episodes")
        form = reverse("program-revise", kwargs={"program_id": program.id})
        return redirect(f"{form}?return={self.pause.id}")


class StimulatorSetView(DeskForm):
    template_name = "clinician/stimulator_set.html"
    form_class = StimulatorSetForm
    said = "Recorded: the stimulator is set and read back."

    def find(self) -> None:
        self.revision = self.found(
            record.revision_of_clinic(clinic=self.clinic, revision_id=self.kwargs["revision_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        program = self.revision.program
        return super().get_context_data(
            patient=program.patient,
            limb=program.episode.limb.upper(),
            revision=self.revision,
            dose=dose_lines(self.revision),
            **kwargs,
        )

    def act(self, form: StimulatorSetForm) -> HttpResponse:
        stimulator_set(
            revision=self.revision, by=self.clinician, now=self.now, note=form.cleaned_data["note"]
        )
        return self.to_patient(self.revision.program.patient_id, "episodes")
