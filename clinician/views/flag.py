"""Close a flag, lift holds, settle what is held: always with a reason, by somebody."""

from django.contrib import messages
from django.forms import Form
from django.http import HttpRequest, HttpResponse

from clinician.forms.decisions import HeldSettleForm, HoldLiftForm
from clinician.forms.flag import FlagCloseForm, FlagRemarkForm, FlagSeeForm
from clinician.selectors.cards import held_cards, hold_cards, release_cards
from clinician.selectors.flag_cards import flag_cards, flag_events
from clinician.views.base import DeskForm, DeskMixin
from homeprogram.calc.days import zone_or_utc
from homeprogram.errors import RuleBroken
from homeprogram.selectors import record
from homeprogram.selectors.log import entries_named
from homeprogram.selectors.plans import context_of
from homeprogram.services.custody import held_settle, held_use
from homeprogram.services.flag_acts import flag_close, flag_remark, flag_see
from homeprogram.services.holds import hold_lift


class FlagMixin:
    """One flag of this clinic."""

    def find(self) -> None:
        self.flag = self.found(
            record.flag_of_clinic(clinic=self.clinic, flag_id=self.kwargs["flag_id"])
        )

    def to_flag(self) -> HttpResponse:
        return self.to_patient(self.flag.patient_id, f"flag-{self.flag.id}")


class FlagActView(FlagMixin, DeskMixin):
    """A button on the card; a refusal is said on the patient page."""

    http_method_names = ("post",)

    def act(self, form: Form) -> str:
        raise NotImplementedError

    def post(self, request: HttpRequest, **kwargs) -> HttpResponse:
        form = self.form_class(request.POST)
        if not form.is_valid():
            messages.warning(request, "Nothing was written down.")
            return self.to_flag()
        try:
            messages.success(request, self.act(form))
        except RuleBroken as refusal:
            messages.warning(request, refusal.message)
        return self.to_flag()


class FlagSeeView(FlagActView):
    """Somebody looks after it: it goes on to nobody else, and stays open."""

    form_class = FlagSeeForm

    def act(self, form: FlagSeeForm) -> str:
        known = form.cleaned_data["known_until"]
        flag_see(flag=self.flag, by=self.clinician, now=self.now, known_until=known)
        return "You look after this flag. It stays open until somebody closes it."


class FlagRemarkView(FlagActView):
    """What somebody adds to a flag that another has closed."""

    form_class = FlagRemarkForm

    def act(self, form: FlagRemarkForm) -> str:
        flag_remark(
            flag=self.flag, by=self.clinician, words=form.cleaned_data["reason"], now=self.now
        )
        return "Your remark is on the record of this flag."


class FlagCloseView(FlagMixin, DeskForm):
    """The whole card with its history; whoever comes second keeps what they wrote."""

    template_name = "clinician/flag_close.html"
    form_class = FlagCloseForm
    said = "Flag closed. It opens again only on something newer."

    def get_context_data(self, **kwargs) -> dict:
        self.find()  # another clinician may have closed it since
        patient, zone = self.flag.patient, zone_or_utc(self.clinic.zone)
        context = context_of(patient=patient, now=self.now, days_back=0)
        behind = entries_named(patient=patient, ids=self.flag.basis.get("entries", []))
        card = flag_cards(context, [self.flag], zone, behind)[0]
        events = flag_events(flag=self.flag, zone=zone)
        return super().get_context_data(patient=patient, card=card, events=events, **kwargs)

    def act(self, form: FlagCloseForm) -> HttpResponse:
        flag_close(flag=self.flag, by=self.clinician, now=self.now, **form.cleaned_data)
        return self.to_patient(self.flag.patient_id, "flags")


class HoldLiftView(DeskForm):
    """What arrived after the page was drawn keeps its own hold."""

    template_name = "clinician/hold_lift.html"
    form_class = HoldLiftForm
    said = "Hold lifted. The phone hears of it at its next contact."

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
        zone = zone_or_utc(self.patient.zone)
        context = context_of(patient=self.patient, now=self.now, days_back=0)
        if release_cards(context, zone):
            self.said += " If it has no network, the code below ends the hold too."
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
