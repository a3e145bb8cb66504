"""The weekly review: one patient a page, in the panel's order."""

from uuid import UUID

from django.contrib import messages
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from clinician.selectors.charts import RANGES, USUAL
from clinician.selectors.review_mark import outcome_words, review_of_clinic
from clinician.selectors.review_page import ReviewPage, review_page
from clinician.selectors.review_queue import Queue, Stop, review_queue, week_start
from clinician.selectors.review_todo import reviews_since
from clinician.selectors.strip import LEGEND
from clinician.selectors.words import moment_long
from clinician.services.reviews import review_finish
from clinician.views.base import DeskPage
from homeprogram.calc.days import zone_or_utc
from homeprogram.errors import RuleBroken
from homeprogram.selectors.record import episodes_of_patient

SALT = "review"
SHOWN_FOR_S = 12 * 3600  # a page left open over night is looked at again
WHOSE_KEY = "review_whose"
CARRY_ON = "carry_on"
# Where each outcome leads; what is saved there is then written up.
FORMS = {
    "change_dose": ("program-revise", "program_id"),
    "pause": ("program-pause", "program_id"),
    "re_test": ("strength-test-record", "episode_id"),
    "end": ("episode-discharge", "episode_id"),
    "contact": ("contact-record", "patient_id"),
}
OF_LIMB = set(FORMS) - {"contact"}


class RunMixin:
    """A run is one's own patients, or the whole clinic's."""

    area = "review"

    def queue(self) -> Queue:
        whose = self.request.GET.get("whose")
        if whose in {"mine", "clinic"}:
            self.request.session[WHOSE_KEY] = whose
        mine = self.request.session.get(WHOSE_KEY, "mine") == "mine"
        return review_queue(clinic=self.clinic, now=self.now, of=self.clinician if mine else None)


class ReviewRunView(RunMixin, DeskPage):
    """Leads to the next patient; when nobody waits, says what came of the run."""

    template_name = "clinician/review_run.html"

    def get(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        self.run = self.queue()
        after = _uuid(request.GET.get("after"))
        stop = self.run.after(after) if after else next(iter(self.run.waiting), None)
        if stop is None and self.run.waiting:
            stop = self.run.waiting[0]
        if stop:
            return redirect("review-patient", patient_id=stop.id)
        return super().get(request, *args, **kwargs)

    def get_context_data(self, **kwargs) -> dict:
        since = week_start(clinic=self.clinic, now=self.now)
        reviews = reviews_since(clinic=self.clinic, since=since)
        return super().get_context_data(
            run=self.run,
            todo=[one for one in reviews if not one.done],
            done=[one for one in reviews if one.done],
            **kwargs,
        )


class ReviewPatientView(RunMixin, DeskPage):
    """What one patient's page shows is what a review of it covers."""

    template_name = "clinician/review_patient.html"

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_context_data(self, **kwargs) -> dict:
        page = review_page(patient=self.patient, now=self.now)
        run = self.queue()
        place, stop = _place(run, self.patient.id)
        return super().get_context_data(
            page=page,
            run=run,
            later=run.after(self.patient.id),
            stop=stop,
            place=place,
            shown=sealed(page),
            legend=LEGEND,
            chart_weeks=RANGES[USUAL],
            **kwargs,
        )

    def post(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        outcome, _, about = request.POST.get("outcome", "").partition(":")
        episode = self._limb(outcome, _uuid(about))
        try:
            shown = unsealed(request.POST.get("shown", ""), self.patient.id)
            review_finish(
                patient=self.patient, by=self.clinician, outcome=outcome, episode=episode,
                now=self.now, **shown,
            )  # fmt: skip
        except RuleBroken as refusal:
            messages.error(request, refusal.message)
            return redirect("review-patient", patient_id=self.patient.id)
        if outcome == CARRY_ON:
            return redirect(f"{reverse('review-run')}?after={self.patient.id}")
        told = "about=review&" if outcome == "contact" else ""
        return redirect(f"{self._form(outcome, episode)}?{told}then=note")

    def _limb(self, outcome: str, episode_id: UUID | None):
        """The limb that the outcome names, where it is about one."""
        if outcome not in OF_LIMB:
            return None
        mine = (one for one in episodes_of_patient(patient=self.patient) if one.id == episode_id)
        return self.found(next(mine, None))

    def _form(self, outcome: str, episode) -> str:
        route, key = FORMS[outcome]
        if episode is None:
            return reverse(route, kwargs={key: self.patient.id})
        program = getattr(episode, "program", None)
        about = episode if key == "episode_id" else self.found(program)
        return reverse(route, kwargs={key: about.id})


class ReviewShownView(DeskPage):
    """A review as it was, whatever the log says now."""

    template_name = "clinician/review_shown.html"

    def find(self) -> None:
        one = review_of_clinic(clinic=self.clinic, review_id=self.kwargs["review_id"])
        self.review = self.found(one)

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            review=self.review,
            patient=self.review.patient,
            shown=self.review.shown,
            outcome=outcome_words(self.review),
            when=moment_long(self.review.reviewed_at, zone_or_utc(self.clinic.zone)),
            **kwargs,
        )


def sealed(page: ReviewPage) -> str:
    """What was shown goes into the form and comes back unchanged, or not at all."""
    return signing.dumps(
        {
            "patient": str(page.id),
            "up_to": page.up_to,
            "after": str(page.mark.review.id) if page.mark.review else None,
            "shown": page.shown,
        },
        salt=SALT,
        compress=True,
    )


def unsealed(text: str, patient_id: UUID) -> dict:
    try:
        told = signing.loads(text, salt=SALT, max_age=SHOWN_FOR_S)
    except signing.BadSignature:
        told = {}
    if told.get("patient") != str(patient_id):
        raise RuleBroken("This page is too old. Look again.", code="review_impossible")
    return {"up_to": told["up_to"], "after": _uuid(told["after"]), "shown": told["shown"]}


def _place(run: Queue, patient_id: UUID) -> tuple[int, Stop | None]:
    found = ((n, stop) for n, stop in enumerate(run.stops, start=1) if stop.id == patient_id)
    return next(found, (0, None))


def _uuid(text: str | None) -> UUID | None:
    try:
        return UUID(text) if text else None
    except ValueError:
        return None
