"""Strength tests of one limb: enter one, see them over time, share one."""

from collections.abc import Iterator
from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from clinician.forms.strength import StrengthTestForm
from clinician.selectors.strength_page import (
    clearance_of,
    course_facts,
    from_earlier,
    limits_to_heed,
    strength_page,
)
from clinician.selectors.strength_words import index_lines
from clinician.views.base import DeskForm, DeskMixin, DeskPage
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.dose_errors import ImpossibleStrength
from homeprogram.calc.strength_check import course_rules, strength_check
from homeprogram.selectors import record
from homeprogram.selectors.strength_tests import strength_test_of_clinic
from homeprogram.services.strength_tests import strength_test_record, strength_test_share


class _EpisodeMixin:
    """A page about the strength of one episode's limb."""

    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )

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


class StrengthTestsView(_EpisodeMixin, DeskPage):
    """All tests of the episode: plot, table, each with its indices."""

    template_name = "clinician/strength_tests.html"

    def get_context_data(self, **kwargs) -> dict:
        page = strength_page(episode=self.episode)
        return super().get_context_data(page=page, **kwargs)


class StrengthTestRecordView(_EpisodeMixin, DeskForm):
    template_name = "clinician/strength_test.html"
    form_class = StrengthTestForm

    def get_initial(self) -> dict:
        earlier = from_earlier(episode=self.episode)
        return earlier | {"on": self.today, "cleared_on": clearance_of(self.episode, self.today)}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            course=course_facts(episode=self.episode),
            heed=limits_to_heed(self.episode, self.today),
            **kwargs,
        )

    def act(self, form: StrengthTestForm) -> HttpResponse:
        request = form.request(course_facts(episode=self.episode).at(form.cleaned_data["on"]))
        try:
            if "check" in self.request.POST:
                return self.show(form, request)
            return self.keep(form, request)
        except ImpossibleStrength as refusal:
            for name, sentence in sentences_of(refusal):
                form.add_error(f"{name}_1" if f"{name}_1" in form.fields else name, sentence)
            return self.form_invalid(form)

    def show(self, form: StrengthTestForm, request: dict | None) -> HttpResponse:
        """What comes out of the figures, without saving anything."""
        rules = course_rules(self.clinic.course)
        result = strength_check(request, rules=rules) if request else None
        indices = index_lines(request, result) if result else []
        context = self.get_context_data(form=form, result=result, indices=indices, checked=True)
        return self.render_to_response(context)

    def keep(self, form: StrengthTestForm, request: dict | None) -> HttpResponse:
        said = form.cleaned_data
        strength_test_record(
            episode=self.episode,
            by=self.clinician,
            on=said["on"],
            now=self.now,
            request=request,
            maximal=said["maximal"] == "yes",
            cleared_on=said["cleared_on"],
            knee_angle_deg=said["knee_angle_deg"],
            observed_contraction=said["observed_contraction"],
            evoked_at=form.evoked_at(),
            measures=form.measures(),
        )
        messages.success(self.request, "Strength test recorded. It is not shared with the patient.")
        return redirect("strength-tests", episode_id=self.episode.id)


def sentences_of(refusal: ImpossibleStrength) -> Iterator[tuple[str, str]]:
    """Each field with its sentence and, where one is likely, the value that was meant."""
    likely = {slip["field"]: slip for slip in refusal.slips}
    for name, sentence in refusal.fields.items():
        slip = likely.get(name)
        yield name, f"{sentence} Was it {slip['likely']:g} {slip['unit']}?" if slip else sentence


class StrengthTestShareView(DeskMixin):
    """The patient's phone may show this test's LSI."""

    http_method_names = ("post",)

    def find(self) -> None:
        self.test = self.found(
            strength_test_of_clinic(clinic=self.clinic, test_id=self.kwargs["test_id"])
        )

    def post(self, request: HttpRequest, **kwargs) -> HttpResponse:
        strength_test_share(test=self.test, now=self.now)
        messages.success(request, "Shared. The phone shows it after its next contact.")
        return redirect("strength-tests", episode_id=self.test.episode_id)
