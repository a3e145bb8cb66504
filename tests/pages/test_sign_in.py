"""Sign-in pages: ours to the last template, and no way round them."""

import re

import pytest
from allauth.mfa.totp.internal import auth as totp
from django.test import Client
from django.urls import reverse

from tests.conftest import PASSWORD
from tests.support.reading import text_of

LOGIN = "/account/login/"
OF_NOBODY = [
    "account_login",
    "account_signup",
    "account_reset_password",
    "account_reset_password_done",
    "account_reset_password_from_key_done",
    "account_inactive",
]
OF_SOMEBODY = ["account_logout", "account_change_password", "account_reauthenticate", "mfa_index"]


@pytest.fixture
def browser(clinician) -> Client:
    """Signed in by the front door."""
    client = Client()
    client.post(LOGIN, {"login": clinician.user.email, "password": PASSWORD})
    return client


def is_ours(content: str) -> bool:
    """Our frame, and nothing inline that the policy would block."""
    inline = re.search(r"<script(?![^>]*src=)|<style| style=|onclick=", content)
    return 'class="desk"' in content and inline is None


@pytest.mark.parametrize("name", OF_NOBODY)
def test_pages_for_nobody_are_our_own(db, name):
    assert is_ours(Client().get(reverse(name)).content.decode())


@pytest.mark.parametrize("name", OF_SOMEBODY)
def test_pages_for_somebody_are_our_own(browser, name):
    assert is_ours(browser.get(reverse(name)).content.decode())


def test_the_front_door_leads_to_the_panel(clinician):
    answer = {"login": clinician.user.email, "password": PASSWORD}

    assert Client().post(LOGIN, answer).url == reverse("desk-panel")


@pytest.mark.parametrize("login", ["ro@larkrise.example", "nobody@larkrise.example"])
def test_a_wrong_password_and_an_unknown_address_answer_alike(clinician, login):
    response = Client().post(LOGIN, {"login": login, "password": "not the one at all"})

    assert "That did not work" in text_of(response)
    assert "email address and/or password you specified are not correct" in text_of(response)


def test_nobody_signs_up(db):
    answer = {"email": "new@larkrise.example", "password1": PASSWORD}

    response = Client().post(reverse("account_signup"), answer)

    assert "Access is by invitation" in text_of(response)


def test_a_lost_password_is_set_anew_by_mail(clinician, mailoutbox):
    Client().post(reverse("account_reset_password"), {"email": clinician.user.email})
    link = re.search(r"http://testserver(\S+)", mailoutbox[0].body).group(1)
    browser = Client()

    page = browser.get(link, follow=True)
    assert is_ours(page.content.decode())
    new = "another phrase for tests"
    browser.post(page.redirect_chain[-1][0], {"password1": new, "password2": new})

    assert mailoutbox[0].subject == "New password for the desk"
    answer = {"login": clinician.user.email, "password": new}
    assert Client().post(LOGIN, answer).url == reverse("desk-panel")


def test_a_code_app_is_set_up_and_then_asked_for(browser, clinician, settings):
    settings.REQUIRE_MFA = True
    assert browser.get(reverse("desk-panel")).url == reverse("mfa_activate_totp")
    browser.post(reverse("account_reauthenticate"), {"password": PASSWORD})
    page = browser.get(reverse("mfa_activate_totp"))
    assert is_ours(page.content.decode())

    secret = browser.session[totp.SECRET_SESSION_KEY]
    browser.post(reverse("mfa_activate_totp"), {"code": code_of(secret)})
    assert browser.get(reverse("desk-panel")).status_code == 200
    assert is_ours(browser.get(reverse("mfa_view_recovery_codes")).content.decode())

    again = Client()
    asked = again.post(LOGIN, {"login": clinician.user.email, "password": PASSWORD})
    assert asked.url.startswith(reverse("mfa_authenticate"))
    assert is_ours(again.get(asked.url).content.decode())
    assert again.get(reverse("desk-panel")).status_code == 302


def code_of(secret: str) -> str:
    counter = next(totp.yield_hotp_counters_from_time())
    return totp.format_hotp_value(totp.hotp_value(secret, counter))


@pytest.mark.parametrize(
    "path", ["/desk/nothing/", "/account/email/", "/account/confirm-email/", "/account/login/code/"]
)
def test_what_is_not_there_says_so_in_our_words(desk, path):
    response = desk.get(path)

    assert response.status_code == 404
    assert "There is nothing here" in text_of(response)
