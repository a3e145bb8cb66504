"""Write, read, print and add to a signed note."""

from dataclasses import asdict
from datetime import date

from django.core import signing
from django.http import HttpResponse

from clinician.forms.notes import AddendumForm, NoteForm
from clinician.selectors.drafts import draft_of, note_draft_key
from clinician.selectors.note_draft import Drawn, note_draft
from clinician.selectors.signed_notes import drawn_words, note_card, note_of_clinic
from clinician.selectors.words import moment_long
from clinician.services.drafts import draft_drop, draft_keep
from clinician.services.signed_notes import addendum_sign, note_sign
from clinician.views.base import DeskForm, DeskPage
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.texts import texts_of
from homeprogram.selectors import record

SALT = "note"


class NoteAddView(DeskForm):
    """The objective part is drawn once, when the page is, and says so until it is signed."""

    template_name = "clinician/note_add.html"
    form_class = NoteForm
    said = "Note signed. It is put right by an addendum, never changed."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])
        self.key = note_draft_key(self.patient)
        self.episodes = {str(e.id): e for e in record.episodes_of_patient(patient=self.patient)}
        self.draft = draft_of(clinician=self.clinician, key=self.key)

    @property
    def today(self) -> date:
        return local_day(self.now, zone_or_utc(self.clinic.zone))

    def get_form_kwargs(self) -> dict:
        about = [(key, f"{e.limb.upper()} leg") for key, e in self.episodes.items()]
        return super().get_form_kwargs() | {"episodes": about}

    def get_initial(self) -> dict:
        """A draft goes on with what was drawn for it, where that can still be read."""
        if self.request.method == "POST":
            return {}
        kept = {k: values[-1] for k, values in self.draft.data.items()} if self.going_on else {}
        self.sealed = kept.get("drawn", "")
        if _unsealed(self.sealed):
            return kept
        fresh = note_draft(patient=self.patient, now=self.now)
        self.sealed = signing.dumps(asdict(fresh.drawn), salt=SALT, compress=True)
        open_ones = [key for key, e in self.episodes.items() if e.ended_on is None]
        return {
            "about_on": self.today,
            "episode": open_ones[0] if len(open_ones) == 1 else "",
            "subjective": fresh.subjective,
            "objective": fresh.drawn.objective,
            "plan": fresh.plan,
        } | kept

    @property
    def going_on(self) -> bool:
        return "draft" in self.request.GET and self.draft is not None

    def get_context_data(self, **kwargs) -> dict:
        zone = zone_or_utc(self.clinic.zone)
        context = super().get_context_data(patient=self.patient, **kwargs)
        return context | {
            "drawn": self.sealed,
            "drawn_words": drawn_words(_unsealed(self.sealed), zone),
            "then": self.request.GET.get("then", ""),
            "draft_key": self.key,
            "draft_at": moment_long(self.draft.saved_at, zone) if self.draft else "",
            "draft_open": self.going_on,
            "draft_url": "?draft=1" + ("&then=review" if "then" in self.request.GET else ""),
        }

    def post(self, request, *args, **kwargs) -> HttpResponse:
        """What the machine drew travels with the form and comes back unchanged."""
        self.sealed = request.POST.get("drawn", "")
        self.found(_unsealed(self.sealed))
        return super().post(request, *args, **kwargs)

    def act(self, form: NoteForm) -> HttpResponse:
        said = dict(form.cleaned_data)
        episode = self.episodes.get(said.pop("episode"))
        note_sign(
            patient=self.patient,
            by=self.clinician,
            episode=episode,
            drawn=Drawn(**_unsealed(self.sealed)),
            now=self.now,
            **said,
        )
        draft_drop(by=self.clinician, key=self.key)
        return self.to_patient(self.patient.id, "notes")

    def on_idle(self) -> None:
        """The session went to sleep over this note: what was typed is kept."""
        self.find()
        if self.request.method == "POST":
            typed = dict(self.request.POST.lists())
            draft_keep(by=self.clinician, key=self.key, data=typed, now=self.now)


def _unsealed(text: str) -> dict | None:
    try:
        return signing.loads(text, salt=SALT)
    except signing.BadSignature:
        return None


class _NoteMixin:
    def find(self) -> None:
        self.note = self.found(note_of_clinic(clinic=self.clinic, note_id=self.kwargs["note_id"]))

    def get_context_data(self, **kwargs) -> dict:
        patient = self.note.patient
        return super().get_context_data(
            patient=patient,
            note=note_card(self.note),
            cautions=texts_of(self.clinic.texts)["cautions"],
            **kwargs,
        )


class NoteView(_NoteMixin, DeskPage):
    """On the screen and on paper."""

    template_name = "clinician/note.html"


class AddendumAddView(_NoteMixin, DeskForm):
    template_name = "clinician/addendum_add.html"
    form_class = AddendumForm
    said = "Addendum signed. The note stands as it was."

    def act(self, form: AddendumForm) -> HttpResponse:
        addendum_sign(
            note=self.note, by=self.clinician, text=form.cleaned_data["text"], now=self.now
        )
        return self.to_patient(self.note.patient_id, "notes")
