"""Assign and revise a home program."""

from collections.abc import Sequence
from datetime import date, timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from clinician.forms.program import DOUBTED, ProgramForm
from clinician.forms.program_check import COURSE_WEEKS
from clinician.forms.program_values import (
    counts,
    dose_of,
    from_bout,
    from_family,
    from_revision,
    from_scratch,
    from_typed,
)
from clinician.selectors.drafts import draft_key, draft_of
from clinician.selectors.exercise_notes import notes_by_choice
from clinician.selectors.families import beside, family_cards, family_offered, other_ranges
from clinician.selectors.returning import review_reason
from clinician.selectors.screening_words import notices
from clinician.selectors.words import moment_long
from clinician.services.drafts import draft_drop, draft_keep
from clinician.services.first_week import assign_with_short_week
from clinician.views.base import DeskForm, DeskPage
from clinician.views.program_panel import beside_form
from clinician.views.returning import returning_values
from homeprogram.calc import slips
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.texts import texts_of
from homeprogram.selectors import record
from homeprogram.selectors.prescribing import limits_of_episode
from homeprogram.selectors.visits import supervised_bout_of
from homeprogram.services.programs import program_assign, revision_add

SCRATCH = "scratch"


class FamilyChoiceView(DeskPage):
    """Where a first dose comes from."""

    template_name = "clinician/family_choice.html"

    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        draft = draft_of(clinician=self.clinician, key=draft_key(self.episode))
        return super().get_context_data(
            episode=self.episode,
            patient=self.episode.patient,
            limb=self.episode.limb.upper(),
            screening=notices(episode=self.episode, now=self.now),
            families=family_cards(clinic=self.clinic, episode=self.episode),
            **draft_words(draft, self.episode, self.clinic),
            **kwargs,
        )


def draft_words(draft, episode, clinic) -> dict:
    """When it was kept, and the address under which to go on with it."""
    key = {"draft_key": draft_key(episode)}
    if draft is None:
        return key | {"draft_at": ""}
    family = (draft.data.get("family") or [""])[-1] or SCRATCH
    start = reverse("program-assign", kwargs={"episode_id": episode.id, "family": family})
    at = moment_long(draft.saved_at, zone_or_utc(clinic.zone))
    return key | {"draft_at": at, "draft_url": f"{start}?draft=1"}


class ProgramFormView(DeskForm):
    """Shared by assigning and revising: count, put a slip right, or save."""

    template_name = "clinician/program_form.html"
    form_class = ProgramForm
    kept: Sequence[dict] = ()  # exercises of the revision before
    newest = None  # the revision before

    @property
    def tomorrow(self) -> date:
        return local_day(self.now, zone_or_utc(self.patient.zone)) + timedelta(days=1)

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | self._about()

    def _about(self) -> dict:
        return {
            "stimulators": record.stimulators_of_clinic(clinic=self.clinic),
            "kept": self.kept,
            "before": self.newest,
            "beside": beside(self.family),
        }

    def get_initial(self) -> dict:
        if "draft" in self.request.GET and (draft := self._draft()):
            return from_typed(draft.data)
        return self.start_values()

    def get_context_data(self, **kwargs) -> dict:
        context = super().get_context_data(
            patient=self.patient,
            limb=self.episode.limb.upper(),
            screening=notices(episode=self.episode, now=self.now),
            episode=self.episode,
            family=self.family,
            limits=limits_of_episode(episode=self.episode),
            ranges=other_ranges(),
            cautions=texts_of(self.clinic.texts)["cautions"],
            sure=self.request.POST.getlist("sure"),
            **self._draft_words(),
            **kwargs,
        )
        form = context["form"]
        beside_it = beside_form(form, family=self.family, episode=self.episode, day=self.tomorrow)
        return context | beside_it | {"known": self._known(form)}

    def _known(self, form: ProgramForm) -> dict:
        """What the page needs to answer while somebody types."""
        bounds = {name: slips.BOUNDS[rule] for name, rule in DOUBTED.items()}
        return {
            "weeks": COURSE_WEEKS,
            "stimulators": {
                key: {"unit": one.unit, "channels": one.channels}
                for key, one in form.stimulators.items()
            },
            "doubts": {
                name: {
                    "label": str(form.fields[name].label),
                    "unit": one.unit,
                    "usual": [one.usual_low, one.usual_high],
                    "possible": [one.low, one.high],
                    "factors": list(one.factors),
                }
                for name, one in bounds.items()
            },
            "exercises": notes_by_choice(episode=self.episode, day=self.tomorrow),
            "before": self._remembered(),
        }

    def _remembered(self) -> dict | None:
        if self.newest is None:
            return None
        return {
            "number": self.newest.number,
            "stimulator": str(self.newest.stimulator_id),
            "pads": sorted(self.newest.pads),
        }

    def post(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        if "check" in request.POST or "fix" in request.POST:
            return self.count()
        return super().post(request, *args, **kwargs)

    def count(self) -> HttpResponse:
        """Counts and what the sources say, without saving or judging what is not there yet."""
        typed = from_typed(dict(self.request.POST.lists()))
        name, _, value = self.request.POST.get("fix", "").partition("=")
        if name:
            typed |= {name: value}
        if name == "electrode_cm2":
            typed["pad_shape"] = "area"
        form = self.form_class(initial=typed, **self._about())
        return self.render_to_response(self.get_context_data(form=form, asked=True))

    def act(self, form: ProgramForm) -> HttpResponse:
        said = form.cleaned_data
        revision = self.save(
            form,
            by=self.clinician,
            dose=dose_of(form, family=self.family),
            stimulator=form.stimulators[said["stimulator"]],
            first_day=said["first_day"],
            reason=said["reason"],
            now=self.now,
        )
        draft_drop(by=self.clinician, key=draft_key(self.episode))
        asked = counts(form)
        messages.success(
            self.request,
            f"Revision {revision.number} saved: {asked['per_bout']} contractions a bout, "
            f"{asked['per_day']} a day, {asked['per_week']} a week{self.also(form)}. "
            "It is not yet on the phone, and the stimulator is not yet set.",
        )
        return self.to_patient(self.patient.id, "episodes")

    def also(self, form: ProgramForm) -> str:
        return ""

    def _draft(self):
        return draft_of(clinician=self.clinician, key=draft_key(self.episode))

    def _draft_words(self) -> dict:
        told = draft_words(self._draft(), self.episode, self.clinic)
        if self.newest:
            told["draft_url"] = "?draft=1"
        return told | {"draft_open": "draft" in self.request.GET}

    def on_idle(self) -> None:
        """The session went to sleep over this form: what was typed is kept."""
        self.find()
        if self.request.method == "POST":
            typed = dict(self.request.POST.lists())
            draft_keep(by=self.clinician, key=draft_key(self.episode), data=typed, now=self.now)


class ProgramAssignView(ProgramFormView):
    def find(self) -> None:
        self.episode = self.found(
            record.episode_of_clinic(clinic=self.clinic, episode_id=self.kwargs["episode_id"])
        )
        self.patient = self.episode.patient
        code = self.kwargs["family"]
        offered = family_offered(clinic=self.clinic, code=code)
        self.family = None if code == SCRATCH else self.found(offered)

    def start_values(self) -> dict:
        if self.family is None:
            return from_scratch(self.tomorrow)
        return from_family(self.family, self.tomorrow)

    def save(self, form: ProgramForm, **dose):
        if form.cleaned_data["short_first_week"]:
            return assign_with_short_week(episode=self.episode, **dose)
        return program_assign(episode=self.episode, **dose)

    def also(self, form: ProgramForm) -> str:
        if not form.cleaned_data["short_first_week"]:
            return ""
        full = form.cleaned_data["first_day"] + timedelta(days=7)
        return f", after a short first week: the full dose starts on {full:%a} {full.day} {full:%b}"


class RevisionAddView(ProgramFormView):
    def find(self) -> None:
        self.program = self.found(
            record.program_of_clinic(clinic=self.clinic, program_id=self.kwargs["program_id"])
        )
        self.patient, self.episode = self.program.patient, self.program.episode
        self.newest = record.revisions_of_program(program=self.program)[0]
        self.kept = self.newest.exercises
        self.family = family_offered(clinic=self.clinic, code=self.newest.family)

    def start_values(self) -> dict:
        values = from_revision(self.newest, self.tomorrow) | self._from_visit()
        values |= returning_values(self.program, self.newest, self.request.GET, self.tomorrow)
        if self.request.GET.get("then"):
            values["reason"] = review_reason(patient=self.patient)
        if values["weeks"] is None and self.family:
            values["weeks"] = self.family.weeks
        return values

    def _from_visit(self) -> dict:
        """`?visit=`: what a supervised bout of this limb found."""
        asked = self.request.GET.get("visit", "")
        bout = supervised_bout_of(episode=self.episode, visit_id=asked)
        return from_bout(bout) if bout else {}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(revising=self.newest, **kwargs)

    def save(self, form: ProgramForm, **dose):
        return revision_add(program=self.program, **dose)
