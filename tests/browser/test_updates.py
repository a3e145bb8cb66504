"""A new release comes while a form is open: nothing typed is lost, nothing reloads under a hand."""

import pytest
from playwright.sync_api import expect

from tests.browser.handset import Handset, differences

pytestmark = pytest.mark.browser

NEXT = "tests.browser.next_release"
BUILD = "() => document.documentElement.dataset.build"
ANOTHER_BUILD = "old => document.documentElement.dataset.build !== old"
# What the app does whenever somebody comes back to it.
COME_BACK = "() => { document.dispatchEvent(new Event('visibilitychange')); }"
WAITS = "() => navigator.serviceWorker.getRegistration().then((one) => Boolean(one.waiting))"
TAKE_OVER = """() => { navigator.serviceWorker.getRegistration()
    .then(({ waiting }) => waiting.postMessage({ type: "take-over" })); }"""
NONE_WAITS = "() => navigator.serviceWorker.getRegistration().then((one) => !one.waiting)"
LONG_ENOUGH_MS = 1_500  # for an offer or a reload to come
NEW_VERSION = "A new version of this app is ready."


class Releases:
    """The clinic goes from one release to the other; none keeps the other's files."""

    def __init__(self, clinic, later: str = NEXT) -> None:
        self.server, self.later = clinic.server, later
        self.usual = self.server.environment["DJANGO_SETTINGS_MODULE"]
        self.server.environment["DJANGO_SETTINGS_MODULE"] = later
        self.server.manage("collectstatic", "--no-input", "--verbosity", "0")
        self.server.environment["DJANGO_SETTINGS_MODULE"] = self.usual

    @property
    def is_next(self) -> bool:
        return self.server.environment["DJANGO_SETTINGS_MODULE"] == self.later

    def change(self) -> None:
        """A deploy: stop, other code, start."""
        self.server.stop()
        other = self.usual if self.is_next else self.later
        self.server.environment["DJANGO_SETTINGS_MODULE"] = other
        self.server.start()


@pytest.fixture(scope="module")
def releases(live_clinic) -> Releases:
    return Releases(live_clinic)


def loads(phone: Handset) -> list[str]:
    """Grows with every document that loads in this tab."""
    seen: list[str] = []
    phone.page.on("domcontentloaded", lambda page: seen.append(page.url))
    return seen


def hear_of_it(phone: Handset) -> None:
    phone.page.evaluate(COME_BACK)
    phone.page.wait_for_function(WAITS)


def test_a_form_outlives_an_update_that_another_tab_takes(handset, releases):
    phone = handset()
    other = phone.tab()
    old = phone.page.evaluate(BUILD)
    phone.note("half a sente")
    loaded, loaded_other = loads(phone), loads(other)

    releases.change()
    hear_of_it(other)
    expect(other.page.locator(".strip")).to_contain_text(NEW_VERSION)
    other.app.tap("Use it now", "button")
    other.page.wait_for_function(ANOTHER_BUILD, arg=old)

    # Longer than any reload would take to come.
    other.page.wait_for_timeout(500)
    assert (phone.page.evaluate(BUILD), loaded) == (old, [])
    expect(phone.page.locator("#text")).to_have_value("half a sente")
    phone.page.locator("#text").type("nce")
    phone.tap_save()
    phone.page.wait_for_function(ANOTHER_BUILD, arg=old)
    phone.drained()
    assert (len(loaded), len(loaded_other)) == (1, 1)
    assert phone.texts() == ["half a sentence"]
    assert differences(phone.rows(), phone.clinic.entries(phone.owner)) == []


def test_nothing_is_renewed_while_a_bout_is_begun(handset, releases):
    phone = handset()
    old = phone.page.evaluate(BUILD)
    phone.app.go_to_log()
    phone.app.area("Next bout")
    expect(phone.page.get_by_role("link", name="Start bout 1")).to_have_count(0)
    loaded = loads(phone)

    releases.change()
    hear_of_it(phone)
    phone.page.wait_for_timeout(LONG_ENOUGH_MS)
    expect(phone.page.locator(".strip")).to_be_hidden()
    phone.page.evaluate(TAKE_OVER)  # as another tab may
    phone.page.wait_for_function(NONE_WAITS)
    phone.page.wait_for_timeout(LONG_ENOUGH_MS)
    assert (phone.page.evaluate(BUILD), loaded) == (old, [])

    phone.go(f"#log/{phone.owner.episode}")
    phone.app.log_bout()
    phone.app.check_skin_after()
    phone.page.wait_for_function(ANOTHER_BUILD, arg=old)


def test_an_old_app_goes_on_against_the_new_server_until_it_is_closed(handset, releases):
    phone = handset()
    old = phone.page.evaluate(BUILD)
    releases.change()

    phone.restart()
    hear_of_it(phone)

    assert phone.page.evaluate(BUILD) == old
    phone.save_note("from the old app")
    phone.drained()
    assert differences(phone.rows(), phone.clinic.entries(phone.owner)) == []
    for _ in range(10):
        phone.page.goto("about:blank")  # the last page of the old app is gone
        phone.page.wait_for_timeout(2_000)
        phone.restart()
        if phone.page.evaluate(BUILD) != old:
            break
    assert phone.page.evaluate(BUILD) != old
    assert phone.texts() == ["from the old app"]
