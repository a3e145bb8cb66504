"""What only a browser shows of keeping a log: a full phone, no storage, trouble, the way out."""

import json
import re
from collections.abc import Iterator
from contextlib import suppress
from uuid import uuid4

import pytest
from playwright.sync_api import Error, expect

from tests.browser.conftest import Browser
from tests.browser.live_clinic import LiveClinic
from tests.browser.phone import PatientApp
from tests.browser.test_main_job import Room

pytestmark = pytest.mark.browser

IN_QUEUE = """(act) => new Promise((resolve, reject) => {
    const opening = indexedDB.open("boutwise-queue", act.version);
    opening.onerror = () => reject(opening.error);
    opening.onblocked = () => reject(new Error("another page is in the way"));
    opening.onsuccess = () => {
        const db = opening.result;
        if (!act.change) { db.close(); resolve(); return; }
        const tx = db.transaction("entries", "readwrite");
        const entries = tx.objectStore("entries");
        entries.getAll().onsuccess = ({ target }) => {
            const [oldest] = target.result.sort((a, b) => a.number - b.number);
            entries.put({ ...oldest, ...act.change });
        };
        tx.oncomplete = () => { db.close(); resolve(); };
    };
})"""
FILL_UP = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("junk", 1);
    opening.onupgradeneeded = () =>
        opening.result.createObjectStore("junk", { autoIncrement: true });
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
        const put = (size) => {
            const tx = opening.result.transaction("junk", "readwrite");
            tx.objectStore("junk").put(crypto.getRandomValues(new Uint8Array(size)));
            tx.oncomplete = () => put(size);
            tx.onabort = () => (size > 64 ? put(Math.floor(size / 4)) : resolve());
        };
        put(65_536);
    };
})"""
RESERVE_THERE = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("boutwise-queue");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
        const store = opening.result.transaction("drafts").objectStore("drafts");
        store.getKey("reserve").onsuccess = ({ target }) => {
            opening.result.close();
            resolve(target.result !== undefined);
        };
    };
})"""
# Caches first: a worker fills its cache before it counts as installed. It
# waits for the empty one to go, unless it is told to take over, as a tap would.
IN_CHARGE = """async () => {
    const cached = (await caches.keys()).length === 1;
    const [one] = await navigator.serviceWorker.getRegistrations();
    one?.waiting?.postMessage({ type: "take-over" });
    return cached && one && !one.installing && !one.waiting;
}"""
DRAWN_MS = 400  # another tab has long shown what was saved
NO_CACHE = "async () => (await caches.keys()).length === 0"


class Alone:
    """A phone that pairs with a code from the desk; nobody else is in the room."""

    cold_start = Room.cold_start

    def __init__(self, clinic: LiveClinic, phone_browser: Browser) -> None:
        self.server, self.phone_browser = clinic.server, phone_browser
        self.code = clinic.patient().code
        self.phone = PatientApp(phone_browser.open(), clinic.url)

    def pair(self, *, worker: bool = True) -> "Alone":
        self.phone.open()
        self.phone.pair(self.code)
        expect(self.phone.page.get_by_text("Start bout 1")).to_be_visible(timeout=20_000)
        if worker:
            self.phone.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
        return self


@pytest.fixture
def clinic(live_clinic) -> Iterator[LiveClinic]:
    """One for the file, up again after whoever stopped it."""
    yield live_clinic
    if live_clinic.server.process is None:
        live_clinic.server.start()


@pytest.fixture
def room(clinic, phone_browser) -> Alone:
    return Alone(clinic, phone_browser).pair()


def fill_note(phone: PatientApp, text: str) -> None:
    phone.page.evaluate("() => { location.hash = '#note'; }")
    phone.page.get_by_label("Your note").fill(text)


def write_note(phone: PatientApp, text: str) -> None:
    fill_note(phone, text)
    phone.tap("Save and send", "button")


def save_note(phone: PatientApp, text: str) -> None:
    """Saved, and the app has gone on: what comes next is not overtaken by it."""
    write_note(phone, text)
    expect(told(phone)).to_have_text("Saved on this phone.")
    expect(phone.page.get_by_label("Your note")).to_have_count(0)


def hold_back(phone: PatientApp) -> None:
    """Nothing reaches the clinic, whatever the phone tries."""
    phone.page.context.route("**/api/v1/**", lambda route: route.abort())


def let_through(phone: PatientApp) -> None:
    phone.page.context.unroute("**/api/v1/**")


def until(phone: PatientApp, script: str) -> None:
    """Asked again until it is so; the page may reload meanwhile."""
    for _ in range(200):
        with suppress(Error):
            if phone.page.evaluate(script):
                return
        phone.page.wait_for_timeout(100)
    raise AssertionError(f"it never was so: {script}")


def told(phone: PatientApp):
    return phone.page.locator(".told")


def test_the_empty_worker_frees_the_phone_and_leaves_its_entries(room):
    phone, server = room.phone, room.server
    hold_back(phone)
    save_note(phone, "kept through it all")
    server.stop(kill=True)  # waits for no connection that is kept open
    server.environment["BOUTWISE_WORKER"] = "off"
    server.start()

    phone.page.reload()
    until(phone, NO_CACHE)

    assert [state.split()[0] for state in phone.states()] == ["note_to_clinic"]
    assert not phone.states()[0].endswith("confirmed")
    let_through(phone)
    phone.send_now()
    phone.expect_words("All your entries are at the clinic.")

    server.stop(kill=True)
    server.environment["BOUTWISE_WORKER"] = "on"
    server.start()
    room.cold_start()
    until(room.phone, IN_CHARGE)
    server.stop(kill=True)
    room.cold_start()
    room.phone.expect_words("LEFT")


def test_a_full_phone_gives_up_its_reserve_before_it_refuses_a_note(clinic, phone_browser):
    # The browser looks at the room before the first write and then counts on
    # its own, without the worker's files: so none, and the limit at the start.
    phone_browser.options["service_workers"] = "block"
    room = Alone(clinic, phone_browser)
    phone = room.phone
    session = phone_browser.context.new_cdp_session(phone.page)
    session.send("Storage.overrideQuotaForOrigin", {"origin": clinic.url, "quotaSize": 3_000_000})
    room.pair(worker=False)
    # A round that still runs would fill the reserve again when it has settled.
    expect(phone.page.locator("html")).to_have_attribute("data-sync", "settled")
    hold_back(phone)
    assert phone.page.evaluate(RESERVE_THERE)

    # A busy browser tidies up and finds room again: then it is filled once more.
    saved, refused = 0, False
    while phone.page.evaluate(RESERVE_THERE) and not refused and saved < 10:
        phone.page.evaluate(FILL_UP)
        write_note(phone, f"note {saved}")
        expect(told(phone)).to_have_text(
            re.compile("Saved on this phone|This phone is full"), timeout=20_000
        )
        refused = "full" in told(phone).text_content()
        saved += not refused

    assert not phone.page.evaluate(RESERVE_THERE)
    assert len(phone.states()) == saved


NO_OPEN = "IDBFactory.prototype.open = () => { throw new DOMException('', 'SecurityError'); };"
NO_PUT = (
    "IDBObjectStore.prototype.put = () => { throw new DOMException('', 'QuotaExceededError'); };"
)
NO_RECORD = """
const transaction = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (names, ...more) {
    if (names.includes("program")) throw new Error("on purpose");
    return transaction.call(this, names, ...more);
};
"""


@pytest.mark.parametrize(
    ("broken", "words"),
    [(NO_OPEN, "Is it a private window?"), (NO_PUT, "This phone is full.")],
    ids=["no storage", "full"],
)
def test_a_browser_that_keeps_nothing_is_told_why_and_never_paired(
    clinic, phone_browser, broken, words
):
    page = phone_browser.open()
    page.add_init_script(broken)
    phone = PatientApp(page, clinic.url)
    phone.open()

    phone.expect_words("No log can be kept here", words)
    assert page.locator("#code").count() == 0
    expect(page.get_by_role("link", name="Something is wrong")).to_be_visible()


def test_a_paired_phone_whose_store_fails_is_never_told_that_it_has_no_log(room):
    room.phone.page.add_init_script(NO_OPEN)
    room.phone.page.reload()

    room.phone.expect_words("This app has a problem", "Your entries are still on this phone.")


def test_the_trouble_screen_gives_a_copy_without_a_network(room):
    phone = room.phone
    hold_back(phone)
    save_note(phone, "not lost")
    room.server.stop()
    phone.page.add_init_script(NO_RECORD)
    phone.page.reload()
    phone.expect_words("This app has a problem")

    with phone.page.expect_download() as coming:
        phone.tap("Save a copy of unsent entries", "button")

    data = json.loads(coming.value.path().read_text())
    assert ["not lost" in entry["body"] for entry in data["entries"]] == [True]


def test_the_rescue_page_sends_from_a_newer_queue_with_a_damaged_entry_in_it(room):
    phone = room.phone
    hold_back(phone)
    save_note(phone, "will be damaged")
    save_note(phone, "sound")
    phone.page.goto(f"{room.server.url}/rescue/")
    phone.page.evaluate(IN_QUEUE, {"version": 9, "change": {"body": '{"id": '}})
    let_through(phone)
    phone.page.reload()
    expect(phone.page.locator("#count")).to_have_text("Entries not sent yet: 2.")
    expect(phone.page.locator("#list li")).to_have_count(2)

    phone.tap("Send them now", "button")

    expect(phone.page.locator("#count")).to_have_text(
        "All entries of this phone are at the clinic."
    )
    assert phone.states() == ["note_to_clinic confirmed", "note_to_clinic held"]


def test_the_rescue_page_says_why_it_does_not_send_what_is_of_an_earlier_pairing(room):
    phone = room.phone
    hold_back(phone)
    save_note(phone, "of somebody before")
    phone.page.goto(f"{room.server.url}/rescue/")
    phone.page.evaluate(IN_QUEUE, {"version": 9, "change": {"phone_id": str(uuid4())}})
    phone.page.reload()

    expect(phone.page.locator("#count")).to_have_text("Entries not sent yet: 1.")
    expect(phone.page.locator("#earlier")).to_be_visible()
    expect(phone.page.locator("#send")).to_be_hidden()
    expect(phone.page.get_by_role("button", name="Save a copy")).to_be_visible()


def test_the_rescue_page_sends_to_a_clinic_that_began_its_log_anew(room):
    phone = room.phone
    hold_back(phone)
    save_note(phone, "before the standby took over")
    room.server.manage("log_identity", "--new")
    phone.page.goto(f"{room.server.url}/rescue/")
    let_through(phone)

    phone.tap("Send them now", "button")

    expect(phone.page.locator("#count")).to_have_text(
        "All entries of this phone are at the clinic."
    )
    assert phone.states() == ["note_to_clinic confirmed"]


def test_what_is_not_sent_is_listed_oldest_first_and_a_damaged_entry_breaks_no_screen(room):
    phone = room.phone
    hold_back(phone)
    for text in ("first", "second"):
        save_note(phone, text)
    phone.page.evaluate(IN_QUEUE, {"change": {"body": "?"}})

    phone.area("Call")
    phone.tap("See what is not sent yet")

    phone.expect_words("Not sent yet")
    rows = phone.page.locator("main ol li")
    expect(rows).to_have_count(2)
    expect(rows.nth(0)).to_contain_text("An entry")
    expect(rows.nth(1)).to_contain_text("Note to the clinic")
    expect(rows.nth(1)).to_contain_text("Just now.")
    phone.area("So far")
    phone.page.get_by_text("Your entries: 2").click()
    expect(phone.page.get_by_text("This app can not show it.")).to_be_visible()


def test_another_tab_shows_at_once_what_was_saved_here(room):
    phone = room.phone
    hold_back(phone)
    other = PatientApp(phone.page.context.new_page(), room.server.url)
    other.open()
    other.expect_words("All your entries are at the clinic.")

    write_note(phone, "seen in both")

    other.expect_words("1 entry is on this phone")


def test_a_tap_is_not_lost_when_the_screen_is_drawn_anew_under_the_finger(room):
    hold_back(room.phone)
    other = PatientApp(room.phone.page.context.new_page(), room.server.url)
    other.open()
    other.expect_words("All your entries are at the clinic.")
    start = other.page.get_by_text("Start bout 1").bounding_box()
    other.page.mouse.move(start["x"] + 20, start["y"] + 10)
    fill_note(room.phone, "while a finger is down")

    other.page.mouse.down()
    room.phone.tap("Save and send", "button")
    expect(room.phone.page.locator(".told")).to_have_text("Saved on this phone.")
    other.page.wait_for_timeout(DRAWN_MS)
    other.page.mouse.up()

    expect(other.page.locator("h1")).to_have_text("How it works: 1 of 6")
    other.area("Next bout")
    other.expect_words("1 entry is on this phone")


def test_focus_on_an_area_outlives_a_screen_drawn_anew(room):
    hold_back(room.phone)
    other = PatientApp(room.phone.page.context.new_page(), room.server.url)
    other.open()
    other.expect_words("All your entries are at the clinic.")
    other.page.get_by_role("navigation").get_by_role("link", name="So far").focus()

    write_note(room.phone, "from the other tab")

    other.expect_words("1 entry is on this phone")
    expect(other.page.get_by_role("navigation").get_by_role("link", name="So far")).to_be_focused()


def test_a_page_whose_app_does_not_start_leads_to_the_entries(clinic, phone_browser):
    page = phone_browser.open()
    page.route(
        "**/patient/app*.js", lambda route: route.fulfill(body="}", content_type="text/javascript")
    )
    # It comes after seconds, for an app that is only slow; here they run faster.
    session = phone_browser.context.new_cdp_session(page)
    session.send("Animation.enable")
    session.send("Animation.setPlaybackRate", {"playbackRate": 20})
    page.goto(f"{clinic.url}/p/")

    expect(page.get_by_role("link", name="See and send it")).to_be_visible(timeout=10_000)
    page.get_by_role("link", name="See and send it").click()
    expect(page.locator("#count")).to_have_text("All entries of this phone are at the clinic.")
