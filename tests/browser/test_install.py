"""Can be put on a home screen; and what would stand in the way is seen."""

import re

import pytest

from tests.support.needs import chromium

pytestmark = pytest.mark.browser


@pytest.fixture
def phone(phone_browser, live_clinic):
    """A whole browser with a profile, as installing needs it; nothing is paired."""
    phone_browser.program = chromium
    page = phone_browser.open()
    page.goto(f"{live_clinic.url}/p/")
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    return page


def test_the_app_is_installable(phone):
    session = phone.context.new_cdp_session(phone)

    faults = session.send("Page.getInstallabilityErrors")["installabilityErrors"]

    assert faults == []


def test_a_first_visit_asks_for_nothing_that_is_refused(phone):
    answers = {}
    phone.on("response", lambda told: answers.update({told.url: told.status}))

    phone.reload(wait_until="networkidle")

    assert any("/api/v1/pairing/" in url for url in answers)
    assert [url for url, status in answers.items() if status >= 400] == []


@pytest.mark.parametrize(
    ("broken", "caught"),
    [
        ('"display": "browser"', "manifest-display-not-supported"),
        ('"icons": []', "manifest-missing-suitable-icon"),
    ],
)
def test_a_manifest_that_cannot_be_installed_would_be_caught(phone, broken, caught):
    key = broken.split(":", maxsplit=1)[0]

    def spoil(route):
        body = route.fetch().text()
        pattern = key + r'\s*:\s*(\[[^\]]*\]|"[^"]*")'
        route.fulfill(body=re.sub(pattern, broken, body), content_type="application/json")

    phone.route("**/manifest.json", spoil)
    phone.reload()
    session = phone.context.new_cdp_session(phone)

    faults = session.send("Page.getInstallabilityErrors")["installabilityErrors"]

    assert caught in {fault["errorId"] for fault in faults}
