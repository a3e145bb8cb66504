"""A real start: a clinic, its first lead, and the path by which they set a password."""

import io
import sys

import pytest
from django.contrib.auth.tokens import default_token_generator
from django.core.management import CommandError, call_command
from django.utils.http import urlsafe_base64_decode

from homeprogram.models import Clinic, Clinician, StimulatorProfile, User

SAID = {
    "name": "Harbour Knee Clinic",
    "phone": "01632 960001",
    "hours": "Monday to Friday, 8 to 17",
    "out_of_hours": "Call 01632 960002.",
    "emergency_number": "112",
    "zone": "Europe/Lisbon",
    "lead_name": "Jo Harbour",
    "lead_email": "Jo@Harbour.example",
}


def clinic_create(**changes) -> str:
    out = io.StringIO()
    call_command("clinic_create", stdout=out, **SAID | changes)
    return out.getvalue()


def test_makes_the_clinic_and_its_lead(db):
    clinic_create()
    lead = Clinician.objects.get()
    assert (lead.name, lead.role, lead.clinic.name) == ("Jo Harbour", "lead", SAID["name"])
    assert lead.user.email == "jo@harbour.example"
    assert lead.clinic.zone == "Europe/Lisbon"
    assert StimulatorProfile.objects.filter(clinic=lead.clinic).exists()


def test_the_lead_cannot_sign_in_before_setting_a_password(db):
    clinic_create()
    assert not User.objects.get().has_usable_password()


def test_the_printed_path_is_the_leads_own(db):
    [path] = [line for line in clinic_create().splitlines() if line.startswith("/desk/join/")]
    uid, token = path.split("/")[3:5]
    lead = User.objects.get(pk=urlsafe_base64_decode(uid).decode())
    assert default_token_generator.check_token(lead, token)


def test_asks_for_what_is_not_given(db, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.StringIO("Asked Clinic\n"))
    clinic_create(name=None)
    assert Clinic.objects.get().name == "Asked Clinic"


def test_says_what_is_missing_when_nobody_can_be_asked(db, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    with pytest.raises(CommandError, match="Time zone: not given"):
        clinic_create(zone=None)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"zone": "Mars/Olympus"}, "no time zone"),
        ({"lead_email": "not an address"}, "email"),
        ({"phone": "9" * 41}, "phone_number"),
    ],
)
def test_a_refusal_leaves_nothing_behind(db, changes, told):
    with pytest.raises(CommandError, match=told):
        clinic_create(**changes)
    assert not Clinic.objects.exists()


def test_an_address_signs_in_to_one_clinic_only(db):
    clinic_create()
    with pytest.raises(CommandError, match="already"):
        clinic_create(name="Second Clinic")
    assert Clinic.objects.count() == 1
