"""The clinic's people: a lead invites, hands on links, ends access."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from homeprogram.models import Clinician
from tests.conftest import PASSWORD
from tests.support.reading import text_of

NEW = {"name": "Noor Physio", "email": "noor@larkrise.example", "role": "clinician"}
INVITE = "/desk/staff/invite/"


def link_in(text: str) -> str:
    return re.search(r"http://testserver(/desk/join/[^\s<]+)", text).group(1)


@pytest.fixture
def invited(lead_desk) -> Clinician:
    lead_desk.post(INVITE, NEW)
    return Clinician.objects.get(name="Noor Physio")


def test_an_invitation_goes_out_by_mail_and_names_no_patient(lead_desk, patient, mailoutbox):
    response = lead_desk.post(INVITE, NEW)

    assert "Invitation sent" in text_of(response)
    assert mailoutbox[0].to == ["noor@larkrise.example"]
    assert mailoutbox[0].subject == "Your access to the clinic's desk"
    assert "Wilma" not in mailoutbox[0].body
    assert "/desk/join/" in mailoutbox[0].body


def test_the_link_is_shown_where_no_mail_leaves_the_machine(lead_desk, settings):
    response = lead_desk.post(INVITE, NEW)

    assert link_in(response.content.decode())


def test_the_link_is_not_shown_where_mail_is_sent(lead_desk, settings):
    settings.EMAIL_HOST = "mail.larkrise.example"

    response = lead_desk.post(INVITE, NEW)

    assert "/desk/join/" not in response.content.decode()


def test_an_address_signs_in_at_one_place_only(lead_desk, clinician):
    response = lead_desk.post(INVITE, NEW | {"email": clinician.user.email})

    assert "This address already signs in here." in text_of(response)


@pytest.mark.parametrize(("field", "value"), [("email", "noor"), ("name", ""), ("role", "owner")])
def test_an_odd_invitation_is_refused(lead_desk, mailoutbox, field, value):
    response = lead_desk.post(INVITE, NEW | {field: value})

    assert "Not saved yet" in text_of(response)
    assert not mailoutbox


def test_an_invited_person_sets_a_password_and_signs_in(lead_desk, mailoutbox):
    lead_desk.post(INVITE, NEW)
    browser = Client()

    form = browser.get(link_in(mailoutbox[0].body), follow=True)
    page = form.redirect_chain[-1][0]
    done = browser.post(page, {"new_password1": PASSWORD, "new_password2": PASSWORD})
    assert done.url == reverse("account_login")
    browser.post(done.url, {"login": NEW["email"], "password": PASSWORD})

    assert browser.get(reverse("desk-panel")).status_code == 200


def test_the_token_leaves_the_address_before_a_page_is_shown(lead_desk, mailoutbox):
    lead_desk.post(INVITE, NEW)
    link = link_in(mailoutbox[0].body)

    form = Client().get(link, follow=True)

    assert link.rstrip("/").rsplit("/", 1)[1] not in form.redirect_chain[-1][0]


def test_a_link_works_once(lead_desk, mailoutbox):
    lead_desk.post(INVITE, NEW)
    link = link_in(mailoutbox[0].body)
    browser = Client()
    page = browser.get(link, follow=True).redirect_chain[-1][0]
    browser.post(page, {"new_password1": PASSWORD, "new_password2": PASSWORD})

    assert "no longer good" in text_of(Client().get(link, follow=True))


@pytest.mark.parametrize("password", ["short", "1q2w3e4r5t6y7u8i9o0p", "noor@larkrise.example"])
def test_a_weak_password_is_refused_with_a_reason(lead_desk, mailoutbox, password):
    lead_desk.post(INVITE, NEW)
    browser = Client()
    page = browser.get(link_in(mailoutbox[0].body), follow=True).redirect_chain[-1][0]

    response = browser.post(page, {"new_password1": password, "new_password2": password})

    assert "Not saved yet" in text_of(response)


def test_a_link_of_somebody_whose_access_ended_is_dead(lead_desk, invited, mailoutbox):
    lead_desk.post(reverse("staff-end", kwargs={"clinician_id": invited.id}))

    assert "no longer good" in text_of(Client().get(link_in(mailoutbox[0].body), follow=True))


def test_a_new_link_can_be_sent_until_a_password_is_set(lead_desk, invited, mailoutbox):
    page = reverse("staff-link", kwargs={"clinician_id": invited.id})

    lead_desk.post(page)
    assert len(mailoutbox) == 2

    invited.user.set_password(PASSWORD)
    invited.user.save()
    assert lead_desk.post(page).status_code == 404


def test_ending_access_signs_the_person_out(lead_desk, desk, clinician):
    response = lead_desk.post(reverse("staff-end", kwargs={"clinician_id": clinician.id}))

    assert response.url == reverse("staff-list")
    assert desk.get(reverse("desk-panel")).status_code == 302
    assert "Access ended (1)" in text_of(lead_desk.get(reverse("staff-list")))


def test_a_lead_cannot_end_their_own_access(lead_desk, lead):
    response = lead_desk.post(reverse("staff-end", kwargs={"clinician_id": lead.id}))

    assert "You cannot end your own access." in text_of(response)
    lead.refresh_from_db()
    assert lead.active
