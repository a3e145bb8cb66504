"""Reminders on a phone, in a real browser with the shipped worker.

A headless browser reaches no push service. So its edge is stubbed (push_edge.js): what
subscribing gives. The message is handed to the worker through DevTools, as the browser
would after decrypting it; a tap on the notice is told to the worker as an event, since a
headless browser shows no notices to tap. Everything of ours in between is as shipped.
"""

import json
from pathlib import Path
from uuid import uuid4

import pytest
from icalendar import Calendar
from playwright.sync_api import expect

from tests.browser.conftest import FLAGS
from tests.support.needs import chromium
from tests.support.push_service import Receiver

pytestmark = pytest.mark.browser

EDGE = Path(__file__).parent / "push_edge.js"
NOTICES = """async (count) => {
    const registration = await navigator.serviceWorker.ready;
    const found = await registration.getNotifications();
    return found.length === count && found.map(({ title, body, tag, lang, data, actions, icon }) =>
        ({ title, body, tag, lang, data, actions: actions.map(({ title }) => title), icon }));
}"""
# Chromium opens and focuses windows after a real tap only; what the worker asked for is kept.
TAP = """async (action) => {
    const opened = [];
    Clients.prototype.openWindow = async (url) => { opened.push(url); return null; };
    WindowClient.prototype.focus = async function () { opened.push("focus"); return this; };
    const [notification] = await self.registration.getNotifications();
    const event = new NotificationEvent("notificationclick", { notification, action });
    const waited = [];
    Object.defineProperty(event, "waitUntil", { value: (work) => waited.push(work) });
    self.dispatchEvent(event);
    await Promise.all(waited);
    return opened;
}"""


# How many notices the worker has shown. Chromium drops the record of one that is asked for
# while it is being shown, as if it had been wiped away: so nobody asks before.
HANDED = """() => {
    if (self.handed === undefined) {
        self.handed = 0;
        const show = ServiceWorkerRegistration.prototype.showNotification;
        ServiceWorkerRegistration.prototype.showNotification = async function (...said) {
            await show.apply(this, said);
            self.handed += 1;
        };
    }
    return self.handed;
}"""
TRIES = 3


# Without a window every page counts as seen: the one that would be taken is said to be behind.
HIDE_FIRST = """async () => {
    const [first] = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
    const seen = function () { return this.id === first.id ? "hidden" : "visible"; };
    Object.defineProperty(WindowClient.prototype, "visibilityState", { get: seen });
    return first.url;
}"""


class Reminded:
    """A handset that may show notices, and the push service behind it."""

    def __init__(self, hand) -> None:
        self.hand, self.page, self.app = hand, hand.page, hand.app
        self.subscription = Receiver().subscription(f"/fcm/send/{uuid4()}")
        told = json.dumps(self.subscription)
        hand.context.add_init_script(f"globalThis.testSubscription = {told};")
        hand.context.add_init_script(path=EDGE)
        hand.restart()

    def turn_on(self) -> None:
        self.app.area("Call")
        self.app.tap("Settings")
        self.app.tap("Reminders", "link")
        self.app.tap("Turn reminders on", "button")
        main = self.page.locator("main")
        expect(main).to_contain_text("Reminders are on for this phone.", timeout=20_000)
        expect(self.page.locator("main")).not_to_contain_text("They start when")

    def arrives(self, data: str) -> None:
        """What the push service sent, as the browser hands it to the worker.

        The session ends with the page: detached at once, it takes one message in twenty along.
        It is handed over again where the worker has shown nothing within seconds.
        """
        session = self.hand.context.new_cdp_session(self.page)
        found = []
        session.on(
            "ServiceWorker.workerRegistrationUpdated",
            lambda told: found.extend(
                one["registrationId"] for one in told["registrations"] if not one["isDeleted"]
            ),
        )
        session.send("ServiceWorker.enable")
        self.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
        while not found:
            self.page.wait_for_timeout(20)
        (worker,) = self.hand.context.service_workers
        for _ in range(TRIES):
            had = worker.evaluate(HANDED)
            session.send(
                "ServiceWorker.deliverPushMessage",
                {"origin": self.hand.clinic.url, "registrationId": found[0], "data": data},
            )
            for _ in range(60):
                if worker.evaluate(HANDED) > had:
                    return self.page.wait_for_timeout(100)
                self.page.wait_for_timeout(50)
        raise AssertionError(f"the worker showed nothing in {TRIES} tries")

    def shown(self, count: int = 1, words: str | None = None) -> list[dict]:
        """A newer one takes the place of the one before: `words` = of the one that is meant."""
        for _ in range(400):
            found = self.page.evaluate(NOTICES, count)
            if found is not False and words in {None, *(one["body"] for one in found)}:
                return found
            self.page.wait_for_timeout(50)
        raise AssertionError(f"not {count} notices after 20 s, or not those words")

    def tap_notice(self, action: str = "") -> list[str]:
        (worker,) = self.hand.context.service_workers
        return worker.evaluate(TAP, action)

    def at_clinic(self) -> list[tuple]:
        plain = self.hand.owner.patient.replace("-", "")
        return self.hand.clinic.rows(
            "SELECT endpoint, ended_why FROM homeprogram_pushsubscription WHERE patient_id = ?",
            plain,
        )

    def stopped_at_clinic(self) -> set[str]:
        plain = self.hand.owner.patient.replace("-", "")
        rows = self.hand.clinic.rows(
            "SELECT way FROM clinician_optout WHERE patient_id = ? AND ended_at IS NULL", plain
        )
        return {way for (way,) in rows}

    def marks(self) -> int:
        return self.page.evaluate("async () => Number(await caches.has('boutwise-stopped'))")


@pytest.fixture(scope="module")
def chromium_browser(playwright):
    """The whole browser: the one without a window denies notices whatever it is told."""
    browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture
def phone(handset):
    return Reminded(handset(permissions=["notifications"]))


def test_a_patient_turns_reminders_on_gets_one_and_turns_them_off(phone):
    phone.turn_on()
    assert phone.at_clinic() == [(phone.subscription["endpoint"], "")]

    reminder = uuid4().hex
    phone.arrives(reminder + "l")
    (notice,) = phone.shown()
    assert (notice["title"], notice["body"]) == ("Reminder", "Please open your app today.")
    assert notice["actions"] == ["No more reminders"]
    assert notice["data"] == reminder

    phone.app.tap("Turn reminders off", "button")
    expect(phone.page.get_by_role("button", name="Turn reminders on")).to_be_visible()
    assert phone.at_clinic() == [("", "turned_off")]


def test_a_tap_on_it_leads_to_the_next_bout(phone):
    phone.turn_on()
    phone.arrives(uuid4().hex)
    phone.shown()
    phone.app.area("Call")
    expect(phone.page.locator("main")).to_contain_text("Whom to call when")

    assert phone.tap_notice() == ["focus"]

    expect(phone.page.locator("main")).to_contain_text("Bout 1 is next")
    assert phone.shown(0) == []


def test_of_two_open_pages_the_one_in_sight_leads_there(phone):
    phone.turn_on()
    phone.arrives(uuid4().hex)
    phone.shown()
    second = phone.hand.context.new_page()
    second.goto(f"{phone.hand.clinic.url}/p/?second#reminders")
    expect(second.locator("main")).to_contain_text("Reminders are on for this phone.")
    (worker,) = phone.hand.context.service_workers
    pages = [phone.page, second]
    behind = pages.pop("?second" in worker.evaluate(HIDE_FIRST))

    phone.tap_notice()

    expect(pages[0].locator("main")).to_contain_text("Bout 1 is next")
    expect(behind.locator("main")).to_contain_text("Reminders are on for this phone.")


def test_a_tap_disturbs_no_form(phone):
    phone.turn_on()
    phone.hand.note("My neighbour helps")
    phone.arrives(uuid4().hex)
    phone.shown()

    phone.tap_notice()

    phone.page.wait_for_timeout(300)
    expect(phone.page.locator("#text")).to_have_value("My neighbour helps")


def test_with_the_app_closed_a_tap_opens_it_at_the_next_bout(phone):
    phone.turn_on()
    phone.arrives(uuid4().hex)
    phone.shown()
    other = phone.hand.context.new_page()
    phone.page.close()

    assert phone.tap_notice() == ["/p/#next"]

    other.goto(f"{phone.hand.clinic.url}/p/#next")
    expect(other.locator("main")).to_contain_text("Bout 1 is next")


def test_the_words_are_those_of_the_letter_or_the_usual_ones(phone):
    usual, unheard = (
        "Please open your app today.",
        "Please open your app today, where there is a network.",
    )
    phone.turn_on()
    phone.app.expect_words(f"“{usual}”", f"“{unheard}”")  # told before one comes

    for letter, words in (("h", unheard), ("z", usual), ("h", unheard), ("", usual)):
        phone.arrives(uuid4().hex + letter)
        phone.shown(words=words)


def test_the_notice_itself_ends_reminders_of_every_way(phone):
    phone.turn_on()
    phone.arrives(uuid4().hex)
    phone.shown()

    phone.tap_notice("stop")

    assert phone.at_clinic() == [("", "turned_off")]
    assert phone.stopped_at_clinic() == {"push", "email", "text"}
    assert phone.marks() == 0
    phone.hand.restart()
    phone.hand.go("#reminders")
    phone.app.expect_words("You stopped the reminders.", "tell your clinic")
    expect(phone.page.get_by_role("button", name="Turn reminders on")).to_have_count(0)
    assert phone.at_clinic() == [("", "turned_off")]


def test_stopped_without_a_network_the_clinic_hears_it_at_the_next_start(phone):
    phone.turn_on()
    phone.arrives(uuid4().hex)
    phone.shown()
    phone.hand.context.set_offline(True)

    phone.tap_notice("stop")

    phone.hand.restart()
    phone.hand.go("#reminders")
    phone.app.expect_words("Your clinic hears of it when this phone has a network.")
    assert (phone.stopped_at_clinic(), phone.marks()) == (set(), 1)
    phone.hand.context.set_offline(False)
    phone.hand.restart()
    phone.hand.drained()
    phone.hand.go("#reminders")
    phone.app.expect_words("If you want them back, tell your clinic.")
    assert phone.stopped_at_clinic() == {"push", "email", "text"}
    assert phone.marks() == 0
    assert phone.at_clinic() == [("", "turned_off")]


def test_it_speaks_the_language_of_the_phone_whatever_was_sent(phone):
    phone.turn_on()
    phone.page.evaluate("() => { location.hash = '#settings'; }")
    phone.app.tap("Español")
    expect(phone.page.locator("h1")).to_contain_text("Ajustes")
    phone.arrives("<b>Wilma's knee</b>")

    (notice,) = phone.shown()

    assert (notice["title"], notice["body"], notice["lang"]) == (
        "Aviso",
        "Por favor, abra hoy su app.",
        "es",
    )


def test_a_subscription_the_browser_renewed_reaches_the_clinic(phone):
    phone.turn_on()
    fresh = Receiver().subscription(f"/fcm/send/{uuid4()}")
    (worker,) = phone.hand.context.service_workers

    worker.evaluate(
        """async (fresh) => {
            const event = new Event("pushsubscriptionchange");
            const waited = [];
            event.waitUntil = (work) => waited.push(work);
            event.newSubscription = fresh;
            self.dispatchEvent(event);
            await Promise.all(waited);
        }""",
        fresh,
    )

    assert phone.at_clinic() == [(fresh["endpoint"], "")]


def test_turned_on_without_a_network_it_starts_with_the_next_one(phone):
    phone.hand.go("#reminders")
    phone.hand.context.set_offline(True)
    phone.app.tap("Turn reminders on", "button")
    phone.app.expect_words("They start when this phone has a network.")
    assert phone.at_clinic() == []

    phone.hand.context.set_offline(False)
    phone.hand.restart()
    phone.hand.drained()
    phone.hand.go("#reminders")

    phone.app.expect_words("Your clinic sets the days and the time.")
    assert phone.at_clinic() == [(phone.subscription["endpoint"], "")]


def test_a_phone_that_says_no_is_never_asked_and_hears_how_to_change_it(handset):
    phone = Reminded(handset())
    phone.hand.context.add_init_script(
        "Object.defineProperty(Notification, 'permission', { get: () => 'denied' });"
        "Notification.requestPermission = async () => { globalThis.asked = true; };"
    )
    phone.hand.restart()
    for area in ("So far", "Call", "Next bout"):
        phone.app.area(area)
    phone.hand.go("#reminders")

    phone.app.expect_words("This phone does not let the app remind you.", "Allow notifications.")
    expect(phone.page.get_by_role("button", name="Turn reminders on")).to_have_count(0)
    assert phone.page.evaluate("() => globalThis.asked ?? false") is False


def test_the_days_go_into_the_phones_own_calendar_after_one_look_at_the_network(handset):
    hand = handset()
    hand.go("#reminders")
    hand.app.tap("Days in your own calendar", "link")
    hand.page.get_by_label("Time of day").fill("07:30")
    hand.context.set_offline(True)
    hand.app.tap("Save the file", "button")
    expect(hand.page.get_by_text("It needs a network once.")).to_be_visible()

    hand.context.set_offline(False)
    with hand.page.expect_download() as coming:
        hand.app.tap("Save the file", "button")

    assert coming.value.suggested_filename == "reminder.ics"
    [event] = Calendar.from_ical(Path(coming.value.path()).read_bytes()).walk("VEVENT")
    assert (f"{event['dtstart'].dt:%H:%M}", event["summary"]) == ("07:30", "Reminder")
