"""Every page of the desk, filled and refused, looked at once."""

import pytest

from tests.browser.desk_tour import DeskTour
from tests.browser.look import KINDS, faults_of
from tests.security.routes import DESK, LEAD, OWN, PUBLIC, names_with
from tests.support.screen_names import LAST_OF_ALL, SIGNED_IN, SIGNED_OUT

pytestmark = pytest.mark.browser
# Routes that answer with something else than a page, or only pass on.
NO_PAGES = {
    "course-numbers",
    "course-numbers-file",
    "absence-back",
    "draft-save",
    "flag-remark",
    "flag-see",
    "handover",  # what is ticked on the panel stands in no address
    "handover-undo",
    "panel-keep",
    "photo-file",
    "healthz",
    "home",
    "manifest",
    "mfa_download_recovery_codes",
    "months-file",
    "note-read",
    "offline",
    "pairing",
    "patient-worker",
    "phone-waiting",
    "readyz",
    "record-fhir",
    "review-run",  # leads on to the next patient
    "serviceworker",
    "strength-test-share",
}
BY_THE_PATIENT = {"patient-shell", "rescue"}


@pytest.fixture(scope="module")
def desk(screens, chromium_browser, long_run) -> DeskTour:
    return DeskTour(chromium_browser, screens.url, screens.told, deep=long_run).walk()


@pytest.mark.parametrize("kind", KINDS)
def test_no_page_of_the_desk_has_a_fault(desk, kind):
    assert faults_of(desk.looks, kind) == {}


def test_the_desk_breaks_no_policy_and_asks_nobody_else(desk):
    assert desk.faults == []


def test_no_page_of_the_desk_is_forgotten(desk):
    routes = set(names_with(PUBLIC, DESK, LEAD, OWN)) - NO_PAGES - BY_THE_PATIENT

    assert routes == {*SIGNED_OUT, *SIGNED_IN, *LAST_OF_ALL}
    assert routes - {look.name for look in desk.looks} == set()


def test_every_page_of_the_desk_answered(desk):
    assert {name: status for name, status in desk.answers.items() if status != 200} == {}
