"""The lending log: the clinic's own stimulators, hand-out and return."""

from datetime import date, timedelta

from django.http import HttpResponse
from django.shortcuts import redirect

from clinician.forms.lending import LoanForm, LoanReturnForm, OwnStimulatorForm, StimulatorActForm
from clinician.selectors.lending import (
    lend_words,
    lending_list,
    loan_of_clinic,
    own_history,
    own_stimulator_of_clinic,
    to_lend,
)
from clinician.services.lending import loan_open, loan_return, stimulator_act, stimulator_own_add
from clinician.views.base import DeskForm, DeskPage
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.selectors import record

USUAL_LOAN = timedelta(weeks=12)  # common practice, no source: one course with some room


class _Lending:
    area = "lending"

    @property
    def today(self) -> date:
        return local_day(self.now, zone_or_utc(self.clinic.zone))


class LendingListView(_Lending, DeskPage):
    template_name = "clinician/lending.html"

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(
            own=lending_list(clinic=self.clinic, now=self.now), **kwargs
        )


class LendingAddView(_Lending, DeskForm):
    template_name = "clinician/lending_add.html"
    form_class = OwnStimulatorForm
    said = "Added."

    def get_form_kwargs(self) -> dict:
        self.profiles = {str(p.id): p for p in record.stimulators_of_clinic(clinic=self.clinic)}
        named = [(key, profile.name) for key, profile in self.profiles.items()]
        return super().get_form_kwargs() | {"profiles": named}

    def act(self, form: OwnStimulatorForm) -> HttpResponse:
        said = form.cleaned_data
        stimulator_own_add(
            clinic=self.clinic,
            by=self.clinician,
            profile=self.profiles[said["profile"]],
            asset_number=said["asset_number"],
            leads=said["leads"],
            checked_on=said["checked_on"],
            check_due_on=said["check_due_on"],
            now=self.now,
        )
        return redirect("lending-list")


class LendingDetailView(_Lending, DeskForm):
    """One stimulator: how it is, what was done to it, who had it; and what is done now."""

    template_name = "clinician/lending_detail.html"
    form_class = StimulatorActForm
    said = "Written down."

    def find(self) -> None:
        self.own = self.found(
            own_stimulator_of_clinic(clinic=self.clinic, stimulator_id=self.kwargs["own_id"])
        )

    def get_initial(self) -> dict:
        return {"on": self.today}

    def get_context_data(self, **kwargs) -> dict:
        history = own_history(own=self.own, now=self.now)
        return super().get_context_data(history=history, **kwargs)

    def act(self, form: StimulatorActForm) -> HttpResponse:
        stimulator_act(stimulator=self.own, by=self.clinician, now=self.now, **form.cleaned_data)
        return redirect("lending-detail", own_id=self.own.id)


class LoanOpenView(_Lending, DeskForm):
    template_name = "clinician/loan_open.html"
    form_class = LoanForm
    area = ""
    said = "Lent. It stands on the patient page until it is back."

    def find(self) -> None:
        self.patient = self.patient_of(self.kwargs["patient_id"])
        self.own = {str(one.id): one for one in to_lend(clinic=self.clinic, today=self.today)}

    def get_form_kwargs(self) -> dict:
        named = [(key, lend_words(one, self.today)) for key, one in self.own.items()]
        return super().get_form_kwargs() | {
            "stimulators": named,
            "is_lead": self.clinician.is_lead,
        }

    def get_initial(self) -> dict:
        return {"due_back_on": self.today + USUAL_LOAN}

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(patient=self.patient, any=bool(self.own), **kwargs)

    def act(self, form: LoanForm) -> HttpResponse:
        said = dict(form.cleaned_data)
        own = self.own[said.pop("stimulator")]
        loan_open(stimulator=own, patient=self.patient, by=self.clinician, now=self.now, **said)
        return self.to_patient(self.patient.id, "loans")


class LoanReturnView(_Lending, DeskForm):
    template_name = "clinician/loan_return.html"
    form_class = LoanReturnForm
    area = ""
    said = "Back. Write down a cleaning before it goes out again."

    def find(self) -> None:
        self.loan = self.found(loan_of_clinic(clinic=self.clinic, loan_id=self.kwargs["loan_id"]))

    def get_context_data(self, **kwargs) -> dict:
        loan = self.loan
        return super().get_context_data(patient=loan.patient, loan=loan, **kwargs)

    def act(self, form: LoanReturnForm) -> HttpResponse:
        loan_return(loan=self.loan, by=self.clinician, now=self.now, **form.cleaned_data)
        return self.to_patient(self.loan.patient_id, "loans")
