"""Photos of the skin: agree, end the agreement, look at one, remove one."""

from django import forms
from django.http import Http404, HttpRequest, HttpResponse

from clinician.forms.base import PlainForm, ReasonForm
from clinician.forms.photo import PhotoAgreementForm
from clinician.selectors.photo_page import of_age, photo_page
from clinician.views.base import DeskForm, DeskMixin
from homeprogram.errors import RuleBroken
from homeprogram.selectors.photos import agreement_of_clinic, clinic_takes_photos, photo_of_clinic
from homeprogram.services.photos import (
    photo_agreement_end,
    photo_agreement_record,
    photo_open,
    photo_remove,
)


class PhotoAgreementView(DeskForm):
    template_name = "clinician/photo_agreement.html"
    form_class = PhotoAgreementForm
    said = "Agreement recorded. The phone offers photos from its next contact on."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"of_age": of_age(patient=self.patient, now=self.now)}

    def get_context_data(self, **kwargs) -> dict:
        on = clinic_takes_photos(clinic=self.clinic)
        return super().get_context_data(patient=self.patient, on=on, **kwargs)

    def act(self, form: PhotoAgreementForm) -> HttpResponse:
        photo_agreement_record(
            patient=self.patient, by=self.clinician, now=self.now, **form.agreed()
        )
        return self.to_patient(self.patient.id, "consent")


class PhotoAgreementEndView(DeskForm):
    template_name = "clinician/photo_agreement_end.html"
    form_class = PlainForm
    said = "The agreement has ended, and its photos are removed."

    def find(self) -> None:
        self.agreement = self.found(
            agreement_of_clinic(clinic=self.clinic, agreement_id=self.kwargs["agreement_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.agreement.patient, **kwargs)

    def act(self, form: forms.Form) -> HttpResponse:
        photo_agreement_end(agreement=self.agreement, by=self.clinician, now=self.now)
        return self.to_patient(self.agreement.patient_id, "consent")


class PhotoMixin:
    def find(self) -> None:
        self.photo = self.found(
            photo_of_clinic(clinic=self.clinic, photo_id=self.kwargs["photo_id"])
        )


class PhotoView(PhotoMixin, DeskForm):
    """The picture beside what was said then; and a way to remove it."""

    template_name = "clinician/photo.html"
    form_class = ReasonForm
    said = "The photo is removed. That there was one stays on the record."

    def get_context_data(self, **kwargs) -> dict:
        shown = {"photo": photo_page(self.photo), "closed": self.why_closed()}
        return super().get_context_data(patient=self.photo.patient, **shown, **kwargs)

    def why_closed(self) -> str:
        """Gone, or sealed under a secret key that this server does not know."""
        try:
            photo_open(photo=self.photo)
        except RuleBroken as refusal:
            return refusal.message
        return ""

    def act(self, form: ReasonForm) -> HttpResponse:
        photo_remove(photo=self.photo, by=self.clinician, now=self.now, **form.cleaned_data)
        return self.to_patient(self.photo.patient_id, "entries")


class PhotoFileView(PhotoMixin, DeskMixin):
    """The JPEG itself; kept by no browser, and shown on no other site's page."""

    http_method_names = ("get", "head", "options")

    def get(self, request: HttpRequest, **kwargs: object) -> HttpResponse:
        try:
            picture = photo_open(photo=self.photo)
        except RuleBroken:  # the page around it says why
            raise Http404 from None
        return HttpResponse(picture, content_type="image/jpeg")
