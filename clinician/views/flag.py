"""Close a flag, lift holds, settle what is held: always with a reason, by somebody."""

from django.http import HttpResponse

from clinician.forms.decisions import FlagCloseForm, HeldSettleForm, HoldLiftForm
from clinician.selectors.cards import flag_cards, held_cards, hold_cards
from clinician.views.base import DeskForm
from homeprogram.calc.days import zone_or_utc
from homeprogram.selectors import record
from homeprogram.selectors.plans import context_of
from homeprogram.services.custody import held_settle, held_use
from homeprogram.services.flags import flag_close
from homeprogram.services.holds import hold_lift


class FlagCloseView(DeskForm):
    template_name = "clinician/flag_close.html"
    form_class = FlagCloseForm
    said = "Flag closed. It opens again only on something newer."

    def find(self) -> None:
        self.flag = self.found(
            record.flag_of_clinic(clinic=self.clinic, flag_id=self.kwargs["flag_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        patient = self.flag.patient
        context = context_of(patient=patient, now=self.now, days_back=0)
        card = flag_cards(context, [self.flag], zone_or_utc(self.clinic.zone))[0]
        return super().get_context_data(patient=patient, card=card, **kwargs)

    def act(self, form: FlagCloseForm) -> HttpResponse:
        flag_close(
            flag=self.flag, by=self.clinician, reason=form.cleaned_data["reason"], now=self.now
        )
        return self.to_patient(self.flag.patient_id, "flags")


class HoldLiftView(DeskForm):
    """What arrived after the page was drawn keeps its own hold."""

    template_name = "clinician/hold_lift.html"
    form_class = HoldLiftForm
    said = "Hold lifted. The phone hears of it at its next contact, or by the code below."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])
        self.holds = record.standing_holds_of_patient(patient=self.patient)

    def get_form_kwargs(self) -> dict:
        standing = [str(hold.id) for hold in self.holds]
        return super().get_form_kwargs() | {"standing": standing, "initial": {"holds": standing}}

    def get_context_data(self, **kwargs) -> dict:
        context = context_of(patient=self.patient, now=self.now, days_back=0)
        cards = hold_cards(context)
        return super().get_context_data(patient=self.patient, holds=cards, **kwargs)

    def act(self, form: HoldLiftForm) -> HttpResponse:
        named = set(form.cleaned_data["holds"])
        hold_lift(
            patient=self.patient,
            by=self.clinician,
            holds=[hold for hold in self.holds if str(hold.id) in named],
            reason=form.cleaned_data["reason"],
            now=self.now,
        )
        return self.to_patient(self.patient.id, "holds")


class HeldSettleView(DeskForm):
    """An entry that cannot be used: somebody reads it and says what was done."""

    template_name = "clinician/held_settle.html"
    form_class = HeldSettleForm
    said = "Settled. What came is kept as it was."

    def find(self) -> None:
        self.held = self.found(
            record.held_of_clinic(clinic=self.clinic, held_id=self.kwargs["held_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        card = held_cards([self.held], zone_or_utc(self.clinic.zone))[0]
        return super().get_context_data(patient=self.held.patient, held=card, **kwargs)

    def act(self, form: HeldSettleForm) -> HttpResponse:
        if form.cleaned_data["decision"] == "use":
            held_use(held=self.held, by=self.clinician, now=self.now)
        else:
            note = form.cleaned_data["note"]
            held_settle(held=self.held, by=self.clinician, note=note, now=self.now)
        return self.to_patient(self.held.patient_id, "entries")
