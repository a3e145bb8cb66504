"""A page of the desk that is sent twice acts once."""

import pytest
from django.test import Client

from clinician.models import Contact
from clinician.views.sending import AT_WORK, Sending
from tests.pages.test_contact import POST, url
from tests.support.reading import text_of


@pytest.fixture
def browser(desk):
    """The same session, with tokens against forgery as a browser sends them."""
    browser = Client(enforce_csrf_checks=True)
    browser.cookies = desk.cookies
    return browser


def filled(browser, patient, **said) -> dict:
    page = browser.get(url(patient))
    return POST | said | {"csrfmiddlewaretoken": str(page.context["csrf_token"])}


def test_a_contact_that_is_sent_twice_is_kept_once_and_the_second_answer_says_so(
    browser, patient, patient_url
):
    page = filled(browser, patient)
    first = browser.post(url(patient), page)
    second = browser.post(url(patient), page)

    assert Contact.objects.count() == 1
    assert first["Location"] == second["Location"] == f"{patient_url}#contacts"
    assert "This had come before. It is kept once." in text_of(browser.get(patient_url))


def test_a_page_gone_back_to_and_changed_is_another_contact(browser, patient):
    page = filled(browser, patient)
    browser.post(url(patient), page)
    browser.post(url(patient), page | {"note": "And the pads are new."})

    assert Contact.objects.count() == 2


def test_the_same_words_on_a_page_opened_anew_are_another_contact(browser, patient):
    for _ in range(2):
        browser.post(url(patient), filled(browser, patient))

    assert Contact.objects.count() == 2


def test_a_page_that_was_refused_can_be_sent_again_as_it_is(browser, patient):
    page = filled(browser, patient, on="2030-03-05")
    answers = [browser.post(url(patient), page) for _ in range(2)]

    assert [one.status_code for one in answers] == [200, 200]
    assert "A contact cannot be at a time to come." in text_of(answers[1])


def test_while_the_first_is_at_work_the_second_does_nothing_and_promises_nothing(patient, rf):
    def sent() -> Sending:
        request = rf.post(url(patient), POST | {"csrfmiddlewaretoken": "of this page"})
        request.user = patient.clinic.clinicians.first().user
        return Sending(request)

    first = sent()
    assert first.before() is None
    assert sent().before() == (url(patient), AT_WORK)

    first.came(None)  # it broke
    assert sent().before() is None
