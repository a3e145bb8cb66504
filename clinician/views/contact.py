"""The contact log: write one down, correct one."""

from datetime import datetime

from django.http import HttpResponse

from clinician.forms.contact import ContactForm
from clinician.forms.flag import FlagSeeForm
from clinician.selectors.contacts import call_back_wanted, contact_of_clinic
from clinician.services.contacts import contact_record
from clinician.views.base import DeskForm
from homeprogram.calc.days import zone_or_utc

# The subject that a flag's reason stands for, where a page leads here from a flag.
ABOUT = {
    "contact_wanted": "asked",
    "missed_days": "bouts",
    "under_dose": "bouts",
    "no_contact": "phone",
    "lost_entries": "phone",
    "held_entry": "phone",
    "skin_reaction": "skin",
    "knee_pain_worse": "pain",
    "discomfort_worse": "dose",
    "over_ceiling": "dose",
    "over_use": "dose",
    "intensity_below_effective": "dose",
    "dose_review_due": "dose",
    "stimulator_at_limit": "stimulator",
    "pads_due": "stimulator",
    "stop_report": "symptoms",
    "something_changed": "symptoms",
    "strength_test_due": "test",
}


class _ContactPage(DeskForm):
    template_name = "clinician/contact_form.html"
    form_class = ContactForm

    @property
    def zone(self):
        return zone_or_utc(self.clinic.zone)

    def get_form_kwargs(self) -> dict:
        return super().get_form_kwargs() | {"zone": self.zone, "flag": self.flag is not None}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, flag=self.flag, **kwargs)

    def keep(self, form: ContactForm, **more) -> HttpResponse:
        said = form.cleaned_data
        named = ("way", "direction", "outcome", "minutes", "about", "note")
        contact_record(
            patient=self.patient,
            by=self.clinician,
            at=said["moment"],
            now=self.now,
            **{name: said[name] for name in named},
            **more,
        )
        return self.to_patient(self.patient.id, "contacts")


class ContactRecordView(_ContactPage):
    """`?about=` is a subject or a flag's reason: no words of the record go into an address.

    What came of it is not chosen beforehand: "spoke" settles a call that is owed.
    """

    said = "Contact written down."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])
        self.flag = call_back_wanted(patient=self.patient)

    def get_initial(self) -> dict:
        about = self.request.GET.get("about", "")
        local = self.now.astimezone(self.zone)
        return {
            "way": "telephone",
            "direction": "out",
            "on": local.date(),
            "at": local.time(),
            "about": ABOUT.get(about, about),
        }

    def act(self, form: ContactForm) -> HttpResponse:
        """A call takes minutes: the flag is closed as it was when the form was opened."""
        if not form.cleaned_data.get("close"):
            return self.keep(form)
        shown = FlagSeeForm(self.request.POST)
        return self.keep(
            form,
            closes=self.flag,
            reason=form.cleaned_data["reason"],
            known_until=shown.cleaned_data["known_until"] if shown.is_valid() else None,
        )


class ContactCorrectView(_ContactPage):
    """The earlier wording stays in the log."""

    said = "Corrected. The earlier wording is kept."
    flag = None

    def find(self) -> None:
        self.contact = self.found(
            contact_of_clinic(clinic=self.clinic, contact_id=self.kwargs["contact_id"])
        )
        self.patient = self.contact.patient

    def get_initial(self) -> dict:
        local: datetime = self.contact.at.astimezone(self.zone)
        named = ("way", "direction", "outcome", "minutes", "about", "note")
        return {name: getattr(self.contact, name) for name in named} | {
            "on": local.date(),
            "at": local.time(),
        }

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(contact=self.contact, **kwargs)

    def act(self, form: ContactForm) -> HttpResponse:
        return self.keep(form, corrects=self.contact)
