"""The main job, end to end: a real server, a real browser, and what goes wrong."""

import re
from contextlib import suppress

import pytest
from playwright.sync_api import TimeoutError as NotThereError
from playwright.sync_api import expect

from tests.browser.desk import Desk
from tests.browser.phone import PatientApp

pytestmark = pytest.mark.browser
DESK_LOOKS_MS = 3_000  # after a phone that may have appeared


class Room:
    """Clinician and patient in one room: the desk signed in, the phone paired."""

    def __init__(self, server, phone_browser, desk_browser) -> None:
        self.server, self.phone_browser, self.desk_browser = server, phone_browser, desk_browser
        self.story = server.seed("one_patient")
        self.patient = self.story["patient"]
        self.desk = Desk(desk_browser.open(), server.url)
        self.desk.page.clock.install()
        self.desk.sign_in(self.story["login"], self.story["password"])
        self.phone = PatientApp(phone_browser.open(), server.url)

    def pair(self, *, worker: bool = True) -> None:
        code = self.desk.pairing_code(self.patient)
        self.phone.open()
        self.phone.pair(code)
        self.let_in(self.phone)
        expect(self.phone.page.get_by_text("Start bout 1")).to_be_visible(timeout=20_000)
        if worker:
            self.phone.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")

    def let_in(self, phone: PatientApp) -> None:
        """Neither side waits for its next look: tests/browser/test_two_weeks.py does."""
        phone.expect_words("Your clinic must now say yes to this phone.")
        self.desk.page.clock.fast_forward(DESK_LOOKS_MS)
        self.desk.confirm_phone()
        with suppress(NotThereError):  # it has just looked by itself
            phone.page.get_by_role("button", name="Look now").click(timeout=1_000)

    def cold_start(self, *, killed: bool = False) -> None:
        self.phone_browser.kill() if killed else self.phone_browser.close()
        self.phone = PatientApp(self.phone_browser.open(), self.server.url)
        self.phone.open()


@pytest.fixture
def room(server, phone_browser, desk_browser) -> Room:
    room = Room(server, phone_browser, desk_browser)
    room.pair()
    return room


def test_a_day_logged_without_a_server_reaches_the_panel_once(room):
    room.server.stop()
    room.cold_start()
    room.phone.expect_words("LEFT", "0 of 1 done today")
    room.phone.full_day()
    room.phone.expect_words("1 of 1 done today")
    saved = room.phone.states()

    room.cold_start(killed=True)
    room.phone.expect_words("1 of 1 done today")
    assert [state.split()[0] for state in room.phone.states()] == [s.split()[0] for s in saved]
    assert [state.split()[0] for state in saved] == ["bout", "skin_check", "skin_check"]
    assert {state.split()[1] for state in saved} <= {"stored", "offered"}

    room.server.start()
    room.phone.send_now()
    room.phone.expect_words("All your entries are at the clinic.")

    assert {state.split()[1] for state in room.phone.states()} == {"confirmed"}
    page = room.desk.patient(room.patient)
    assert page.count("15 contractions") >= 1
    assert "Wilma Tarn" in room.desk.panel()
    assert room.server.python("-c", COUNT).split() == ["bout", "skin_check", "skin_check"]
    assert room.phone_browser.faults == []
    assert room.desk_browser.faults == []


COUNT = """
import django; django.setup()
from homeprogram.models import Entry
print(*sorted(Entry.objects.values_list("kind", flat=True)))
"""


def test_a_raised_patch_holds_the_limb_offline_and_stands_on_top_of_the_panel(room):
    room.phone.go_to_log()
    room.server.stop()
    room.phone.log_bout()

    room.phone.report_raised_skin()

    room.phone.expect_words("Call the clinic today.", "No bouts on this leg")
    room.cold_start()
    room.phone.expect_words("No bouts for now")
    assert room.phone.page.get_by_text("Start bout").count() == 0

    room.server.start()
    room.phone.send_now()
    room.phone.expect_words("All your entries are at the clinic.")

    panel = room.desk.panel()
    assert panel.index("Safety") < panel.index("Wilma Tarn")
    assert "Skin reaction LEFT: grade 3 of 4" in re.sub(r"\s+", " ", panel)


def test_logging_goes_on_while_a_hold_stands(room):
    room.phone.go_to_log()
    room.phone.log_bout()
    room.phone.report_raised_skin()
    room.phone.area("Next bout")

    room.phone.tap("Or do this")
    room.phone.tap("Log a bout you did")

    room.phone.expect_words("Log: LEFT leg")


def test_a_reply_cut_after_the_commit_is_answered_already(room):
    # Nothing gets through before the cut: a retry of its own would not be cut.
    room.phone.page.route("**/api/v1/sync/push/", lambda route: route.abort())
    room.phone.go_to_log()
    room.phone.log_bout()
    cut = []

    def commit_and_cut(route):
        if not cut:
            cut.append(route.fetch().status)  # the clinic has it; the phone never hears
            route.abort()
        else:
            route.continue_()

    room.phone.page.route("**/api/v1/sync/push/", commit_and_cut)
    room.phone.send_now()
    room.phone.send_now()
    room.phone.expect_words("All your entries are at the clinic.")

    assert cut == [200]
    assert room.server.python("-c", COUNT).split() == ["bout", "skin_check"]


def test_a_gateways_page_confirms_nothing(room):
    room.server.stop()
    room.phone.go_to_log()
    room.phone.log_bout()
    room.phone.page.route(
        "**/api/v1/**",
        lambda route: route.fulfill(
            status=200, content_type="text/html", body="<h1>Welcome to Guest Wi-Fi</h1>"
        ),
    )
    room.server.start()

    room.phone.send_now()
    room.phone.page.wait_for_timeout(1500)

    assert {state.split()[1] for state in room.phone.states()} <= {"stored", "offered"}


def test_a_wrong_clock_loses_nothing_and_claims_nothing(server, phone_browser, desk_browser):
    room = Room(server, phone_browser, desk_browser)
    room.phone.page.clock.install(time="2028-01-05T08:00:00Z")
    code = room.desk.pairing_code(room.patient)
    room.phone.open()
    room.phone.pair(code)
    room.desk.confirm_phone()
    expect(room.phone.page.get_by_text("LEFT").first).to_be_visible(timeout=20_000)

    room.phone.tap("Or do this")
    room.phone.tap("Log a bout you did")
    room.phone.rate("How bad was your knee pain before?", 1)
    room.phone.log_bout()
    room.phone.send_now()

    expect(room.phone.page.get_by_text("All your entries are at the clinic.").first).to_be_visible()
    claims = """
import django; django.setup()
from homeprogram.models import Phone
phone = Phone.objects.get(state="active")
print(phone.claim_at, phone.entries.count())
"""
    assert room.server.python("-c", claims).split() == ["None", "1"]


def test_two_phones_of_one_patient_show_each_others_entries(room, playwright, tmp_path):
    from tests.browser.conftest import PHONE, Browser

    room.phone.go_to_log()
    room.phone.log_bout()
    room.phone.send_now()
    code = room.desk.pairing_code(room.patient, keep_both=True)
    other_browser = Browser(playwright, tmp_path / "other", viewport=PHONE)
    other = PatientApp(other_browser.open(), room.server.url)
    other.open()
    other.pair(code)
    room.let_in(other)
    expect(other.page.locator("main")).to_contain_text("1 of 1 done today", timeout=20_000)
    other_browser.close()


def test_a_revision_made_while_the_phone_was_offline_counts_from_the_day_after_it_is_heard(room):
    room.phone_browser.context.set_offline(True)
    room.server.seed("revised_today")
    room.desk.patient(room.patient)
    assert "not yet on the phone" in room.desk.patient(room.patient).lower()
    room.phone.expect_words("15 contractions")

    room.phone_browser.context.set_offline(False)
    room.phone.send_now()
    room.phone.expect_words("All your entries are at the clinic.")
    room.phone.area("Next bout")

    room.phone.expect_words("15 contractions")
    room.phone.expect_words("Your home program will change from")
    assert "not yet on the phone" not in room.desk.patient(room.patient).lower()


def test_the_server_may_be_killed_at_any_moment(room):
    room.phone.go_to_log()
    room.phone.log_bout()
    room.server.stop(kill=True)
    room.phone.check_skin_after()
    room.server.start()

    room.phone.send_now()
    room.phone.expect_words("All your entries are at the clinic.")

    assert room.server.python("-c", COUNT).split() == ["bout", "skin_check", "skin_check"]


def test_a_browser_without_a_worker_cannot_start_offline(playwright, server, tmp_path):
    """The control: without our worker the cold start must fail, or the others prove nothing."""
    from tests.browser.conftest import PHONE, Browser

    browser = Browser(playwright, tmp_path / "bare", viewport=PHONE, service_workers="block")
    page = browser.open()
    page.goto(f"{server.url}/p/")
    server.stop()

    with pytest.raises(Exception, match="ERR_CONNECTION_REFUSED"):
        page.goto(f"{server.url}/p/")
    browser.close()
