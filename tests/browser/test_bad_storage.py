"""A phone whose storage is full, silent or cleared says so, and keeps what it can."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE, Browser
from tests.browser.handset import SAVED, Handset, broken_rows, differences

pytestmark = pytest.mark.browser

FULL = "Not saved yet. This phone is full. Make room. Then tap Save again."
NOT_YET = "Not saved yet. Keep this screen open. Then tap Save again."
CLEARED = "The log on this phone was cleared. What was not sent is gone."


def once_at_the_clinic(phone: Handset, *texts: str) -> None:
    assert sorted(phone.texts()) == sorted(texts)
    assert broken_rows(phone.rows(), phone.meta()["number"]) == []
    assert differences(phone.rows(), phone.clinic.entries(phone.owner)) == []
    assert phone.clinic.held(phone.owner) == []


# --- full -------------------------------------------------------------------


class Disk:
    """The room this site has; only a browser that has just begun asks for it anew."""

    def __init__(self, phone: Handset) -> None:
        self.origin = {"origin": phone.clinic.url}
        self.session = phone.context.new_cdp_session(phone.context.new_page())

    def fill(self) -> None:
        self.session.send("Storage.overrideQuotaForOrigin", self.origin | {"quotaSize": 1})

    def free(self) -> None:
        self.session.send("Storage.overrideQuotaForOrigin", self.origin)


@pytest.fixture
def full_phone(playwright, live_clinic, tmp_path: Path):
    """One entry is saved and sent; then the phone is full when the app opens."""
    browser = Browser(playwright, tmp_path / "phone", viewport=PHONE, has_touch=True)
    browser.open()
    owner = live_clinic.patient()
    phone = Handset(browser.context, live_clinic, owner).pair()
    phone.save_note("before it was full")
    phone.drained()
    browser.close()
    browser.open()
    phone = Handset(browser.context, live_clinic, owner)
    phone.disk = Disk(phone)
    phone.disk.fill()
    phone.restart()
    yield phone
    browser.close()


def test_a_full_phone_says_not_saved_and_keeps_form_and_log(full_phone):
    full_phone.note("no room")

    full_phone.tap_save()

    full_phone.expect_told(FULL)
    expect(full_phone.page.locator("#text")).to_have_value("no room")
    assert full_phone.texts() == ["before it was full"]
    full_phone.disk.free()
    full_phone.tap_save()
    full_phone.expect_told(SAVED)
    full_phone.drained()
    once_at_the_clinic(full_phone, "before it was full", "no room")


# --- silent -----------------------------------------------------------------

# A transaction of another page that never ends: whoever writes after it waits.
HOLD = """([name, mode]) => new Promise((resolve, reject) => {
    const opening = indexedDB.open(name);
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
        const tx = opening.result.transaction([...opening.result.objectStoreNames], mode);
        const store = tx.objectStore("entries");
        globalThis.held = (globalThis.held ?? 0) + 1;
        const spin = () => {
            if (!globalThis.held) return opening.result.close();
            store.get("nothing").onsuccess = spin;
            resolve(true);
        };
        spin();
    };
})"""


class Silence:
    """Databases that do not answer, until `end`."""

    def __init__(self, phone: Handset) -> None:
        self.page = phone.context.new_page()
        self.page.goto(f"{phone.clinic.url}/rescue/")

    def begin(self, name: str, mode: str) -> None:
        self.page.evaluate(HOLD, [name, mode])

    def end(self) -> None:
        self.page.evaluate("() => { globalThis.held = 0; }")


@pytest.fixture
def phone(handset) -> Handset:
    return handset()


@pytest.fixture
def silence(phone) -> Silence:
    return Silence(phone)


@pytest.mark.parametrize("mode", ["readonly", "readwrite"])
def test_what_a_silent_database_cannot_take_is_kept_beside_it_and_merged_later(
    phone, silence, mode
):
    phone.save_note("before")
    phone.note("while it was silent")
    silence.begin("boutwise-queue", mode)

    phone.tap_save()

    phone.expect_told(SAVED)
    silence.end()
    phone.restart()
    phone.drained()
    once_at_the_clinic(phone, "before", "while it was silent")
    assert phone.page.evaluate("async () => (await inside.store()).entries.rescued()") == []


def test_when_no_database_answers_it_says_not_saved_and_the_form_stays(phone, silence):
    phone.note("nowhere to go")
    silence.begin("boutwise-queue", "readwrite")
    phone.page.evaluate("async () => (await inside.store()).entries.rescued()")
    silence.begin("boutwise-queue-rescue", "readwrite")

    phone.tap_save()

    phone.expect_told(NOT_YET)
    expect(phone.page.locator("#text")).to_have_value("nowhere to go")
    silence.end()
    phone.tap_save()
    phone.expect_told(SAVED)
    phone.restart()
    phone.drained()
    once_at_the_clinic(phone, "nowhere to go")


# --- cleared ----------------------------------------------------------------


def clear(phone: Handset) -> None:
    """The browser threw the log away; the credential in its cookie stayed."""
    phone.page.goto("about:blank")
    session = phone.context.new_cdp_session(phone.page)
    told = {"origin": phone.clinic.url, "storageTypes": "indexeddb"}
    session.send("Storage.clearDataForOrigin", told)


@pytest.fixture
def cleared(phone) -> Handset:
    """One entry had reached the clinic, one had not."""
    phone.save_note("sent")
    phone.drained()
    phone.context.set_offline(offline=True)
    phone.save_note("never sent")
    clear(phone)
    phone.context.set_offline(offline=False)
    phone.restart()
    return phone


def test_a_cleared_log_is_told_at_the_next_start(cleared):
    cleared.app.expect_words(CLEARED, "LEFT", "0 of 1 done today")


def test_what_is_logged_again_after_a_cleared_log_reaches_the_clinic_once(cleared):
    cleared.app.expect_words(CLEARED)

    cleared.save_note("never sent")
    cleared.drained()

    at_clinic = cleared.clinic.entries(cleared.owner)
    assert [row.raw.count("never sent") for row in at_clinic] == [0, 1]
    assert cleared.clinic.held(cleared.owner) == []
