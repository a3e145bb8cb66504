"""Pair a phone in the room, confirm the one that appeared, end one that is gone."""

import segno
from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.utils.safestring import mark_safe

from clinician.forms.decisions import PairForm, PhoneFileForm, RevokeForm
from clinician.selectors.words import plural
from clinician.views.base import DeskForm, DeskPage
from homeprogram.calc.limits import CODE_MINUTES
from homeprogram.selectors import record
from homeprogram.services.pairing import NewCode, code_create, phone_confirm, phone_revoke
from homeprogram.services.phone_files import FileTaken, phone_file_take

WAITING = "waiting"
ACTIVE = "active"


class PhonePairView(DeskForm):
    """A code on POST, shown once on the answer to that POST and kept nowhere."""

    template_name = "clinician/phone_pair.html"
    form_class = PairForm

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_context_data(self, **kwargs) -> dict:
        phones = record.phones_of_patient(patient=self.patient)
        return super().get_context_data(
            patient=self.patient,
            paired=[phone for phone in phones if phone.state == ACTIVE],
            minutes=CODE_MINUTES,
            **kwargs,
        )

    def act(self, form: PairForm) -> HttpResponse:
        new = code_create(
            patient=self.patient,
            by=self.clinician,
            now=self.now,
            replaces=form.cleaned_data["other_phone"] == "replace",
        )
        return self.render_to_response(
            self.get_context_data(
                form=form,
                new=new,
                groups=new.code.split("-"),
                qr=pairing_picture(self.request, new),
            )
        )


def pairing_picture(request: HttpRequest, new: NewCode, *, sized: bool = True) -> str:
    """The token stands behind the #, so it never reaches a server's log.

    Without a size of its own it is drawn whole in whatever room a page gives it.
    """
    link = f"{request.build_absolute_uri(reverse('patient-shell'))}#pair={new.token}"
    svg = segno.make(link, error="m", micro=False).svg_inline(scale=6, border=4, omitsize=not sized)
    return mark_safe(svg)  # noqa: S308  drawn by segno: path data only


class PhonesWaitingView(DeskPage):
    """Asked every few seconds by the pairing page; it keeps no session awake."""

    keeps_awake = False

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get(self, request: HttpRequest, *args, **kwargs) -> HttpResponse:
        phones = record.phones_of_patient(patient=self.patient)
        waiting = [
            {"label": phone.label, "url": reverse("phone-confirm", kwargs={"phone_id": phone.id})}
            for phone in phones
            if phone.state == WAITING
        ]
        return JsonResponse({"phones": waiting})


class PhoneFileView(DeskForm):
    """The file that a phone saved because it could not send."""

    template_name = "clinician/phone_file.html"
    form_class = PhoneFileForm

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, **kwargs)

    def act(self, form: PhoneFileForm) -> HttpResponse:
        taken = phone_file_take(patient=self.patient, text=form.cleaned_data["file"], now=self.now)
        messages.success(self.request, _taken_words(taken))
        return self.to_patient(self.patient.id, "entries")


def _taken_words(taken: FileTaken) -> str:
    return (
        f"{plural(taken.stored, 'entry', 'entries')} read in, {taken.already} here before, "
        f"{taken.held} held for you to look at."
    )


class PhoneMixin:
    """A page about one phone of this clinic."""

    def find(self) -> None:
        self.phone = self.found(
            record.phone_of_clinic(clinic=self.clinic, phone_id=self.kwargs["phone_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.phone.patient, phone=self.phone, **kwargs)


class PhoneConfirmView(PhoneMixin, DeskForm):
    template_name = "clinician/phone_confirm.html"
    form_class = Form
    said = "Phone confirmed. It fetches the home program now."

    def act(self, form: Form) -> HttpResponse:
        phone_confirm(phone=self.phone, by=self.clinician, now=self.now)
        return self.to_patient(self.phone.patient_id, "phones")


class PhoneRevokeView(PhoneMixin, DeskForm):
    template_name = "clinician/phone_revoke.html"
    form_class = RevokeForm
    said = "This phone's access has ended."

    def act(self, form: RevokeForm) -> HttpResponse:
        phone_revoke(phone=self.phone, state=form.cleaned_data["state"], now=self.now)
        return self.to_patient(self.phone.patient_id, "phones")
