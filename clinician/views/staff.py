"""The clinic's people, for a lead; and the page where an invited one sets a password."""

from django.conf import settings
from django.contrib.auth.views import PasswordResetConfirmView
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse_lazy

from clinician.forms.staff import InviteForm, RoleForm
from clinician.services.invitations import invitation_send, join_path
from clinician.views.base import DeskForm, DeskPage
from homeprogram.selectors import record
from homeprogram.services.clinics import (
    clinician_deactivate,
    clinician_invite,
    clinician_role_set,
)


class StaffView(DeskPage):
    template_name = "clinician/staff.html"
    area = "clinic"
    lead_only = True

    def get_context_data(self, **kwargs) -> dict:
        people = record.clinicians_of_clinic(clinic=self.clinic)
        return super().get_context_data(
            current=[one for one in people if one.active],
            former=[one for one in people if not one.active],
            **kwargs,
        )


class InvitingView(DeskForm):
    """Sends a link and, where no mail leaves this machine, shows it to hand over."""

    area = "clinic"
    lead_only = True

    def invited(self, clinician) -> HttpResponse:
        link = self.request.build_absolute_uri(join_path(clinician))
        invitation_send(clinician=clinician, link=link)
        shown = link if not settings.EMAIL_HOST else ""
        context = self.get_context_data(invited=clinician, link=shown)
        return self.response_class(self.request, "clinician/staff_invited.html", context)


class StaffInviteView(InvitingView):
    template_name = "clinician/staff_invite.html"
    form_class = InviteForm

    def act(self, form: InviteForm) -> HttpResponse:
        clinician = clinician_invite(
            clinic=self.clinic, by=self.clinician, now=self.now, **form.cleaned_data
        )
        return self.invited(clinician)


class StaffMixin:
    def find(self) -> None:
        self.person = self.found(
            record.clinician_of_clinic(clinic=self.clinic, clinician_id=self.kwargs["clinician_id"])
        )

    def get_context_data(self, **kwargs) -> dict:
        return super().get_context_data(person=self.person, **kwargs)


class StaffLinkView(StaffMixin, InvitingView):
    """A fresh link for somebody who has not set a password yet."""

    template_name = "clinician/staff_link.html"
    form_class = Form

    def find(self) -> None:
        super().find()
        waiting = self.person.active and not self.person.user.has_usable_password()
        self.found(self.person if waiting else None)

    def act(self, form: Form) -> HttpResponse:
        return self.invited(self.person)


class StaffEndView(StaffMixin, DeskForm):
    template_name = "clinician/staff_end.html"
    form_class = Form
    area = "clinic"
    lead_only = True
    said = "Access ended. What they wrote stays on the record under their name."

    def act(self, form: Form) -> HttpResponse:
        clinician_deactivate(clinician=self.person, by=self.clinician, now=self.now)
        return redirect("staff-list")


class StaffRoleView(StaffMixin, DeskForm):
    template_name = "clinician/staff_role.html"
    form_class = RoleForm
    area = "clinic"
    lead_only = True

    def find(self) -> None:
        super().find()
        self.found(self.person if self.person.active else None)

    def get_initial(self) -> dict:
        return {"role": self.person.role}

    def act(self, form: RoleForm) -> HttpResponse:
        clinician_role_set(
            clinician=self.person, by=self.clinician, now=self.now, **form.cleaned_data
        )
        name, role = self.person.name, self.person.get_role_display()
        self.said = f"Role of {name}: {role}."
        # Who is no lead any more sees the staff no more.
        mine = self.person == self.clinician and form.cleaned_data["role"] != "lead"
        return redirect("desk-panel" if mine else "staff-list")


class JoinView(PasswordResetConfirmView):
    """The token moves from the address to the session before anything is shown."""

    template_name = "clinician/join.html"
    reset_url_token = "password"  # noqa: S105  a word in the address
    success_url = reverse_lazy("account_login")

    def get_user(self, uidb64: str):
        user = super().get_user(uidb64)
        return user if user is not None and user.is_active else None
