"""Two tabs of one phone: both may save and send, one may freeze or crash with the lock."""

from contextlib import suppress

import pytest
from playwright.sync_api import Error, expect

from tests.browser.handset import ALL_SENT, Handset, broken_rows, differences

pytestmark = pytest.mark.browser

PUSHES = "**/api/v1/sync/push/"
EVERYTHING = "**/api/v1/**"
WITHOUT_LOCKS = "delete Navigator.prototype.locks;"
# As fast as it goes, and both at once; the words that were shown come back.
MANY = """async ([name, count]) => {
    const save = await inside.saver();
    const store = await inside.store();
    const forDate = new Date().toISOString().slice(0, 10);
    const note = { kind: "note_to_clinic", forDate };
    const told = [];
    for (let at = 0; at < count; at += 1) {
        const payload = { text: `${name} ${at}`, wants_contact: false };
        told.push((await save({ ...note, id: store.entries.newId(), payload })).words);
    }
    return told;
}"""
BEGIN = f"([name, count]) => {{ globalThis.saving = ({MANY})([name, count]); }}"
END = "() => globalThis.saving"
# Past the lease of a tab that does not answer. (The driver's clock is the whole
# context's, and would wait for the frozen tab.)
LATER = "() => { const now = Date.now; Date.now = () => now() + 100_000; }"
IDLE = "() => document.documentElement.dataset.sync !== 'running'"
SYNC = "() => { dispatchEvent(new Event('online')); }"


def save_in_both(first: Handset, second: Handset, count: int) -> None:
    first.page.evaluate(BEGIN, ["first", count])
    second.page.evaluate(BEGIN, ["second", count])
    for tab in (first, second):
        assert set(tab.page.evaluate(END)) == {"Saved on this phone."}


def all_once(phone: Handset) -> None:
    rows = phone.rows()
    assert broken_rows(rows, phone.meta()["number"]) == []
    assert {row["state"] for row in rows} == {"confirmed"}
    assert differences(rows, phone.clinic.entries(phone.owner)) == []
    assert phone.clinic.held(phone.owner) == []


def offline(phone: Handset) -> None:
    phone.context.route(EVERYTHING, lambda route: route.abort())


def online(phone: Handset) -> None:
    phone.context.unroute(EVERYTHING)


@pytest.fixture(params=["with locks", "without locks"])
def tabs(handset, request) -> tuple[Handset, Handset]:
    phone = handset()
    if request.param == "without locks":
        phone.context.add_init_script(WITHOUT_LOCKS)
    phone.restart()
    has = phone.page.evaluate("() => Boolean(navigator.locks)")
    assert has == (request.param == "with locks")
    return phone, phone.tab()


def test_two_tabs_that_save_and_send_at_once_lose_and_double_nothing(tabs):
    phone, other = tabs
    offline(phone)
    save_in_both(phone, other, 15)
    online(phone)

    phone.page.evaluate(SYNC)
    other.page.evaluate(SYNC)
    save_in_both(phone, other, 5)

    for tab in (phone, other):
        tab.page.wait_for_function(IDLE)
    phone.restart()
    phone.drained()
    assert len(phone.rows()) == 40
    all_once(phone)


class Held:
    """A tab whose push is under way and never gets its answer."""

    def __init__(self, tab: Handset) -> None:
        self.tab, self.routes = tab, []
        tab.page.route(PUSHES, self._hold)
        tab.save_note("from the tab that hangs")
        until = 400  # it may have to let another tab's round end first
        while not self.routes and until:
            tab.page.wait_for_timeout(50)
            until -= 1
        assert self.routes, "the tab never pushed"

    def _hold(self, route) -> None:
        self.routes.append(route)

    def let_go(self) -> None:
        for route in self.routes:
            route.continue_()


def test_a_frozen_tab_does_not_keep_the_entries_from_the_clinic(handset):
    hung = handset()
    other = hung.tab()
    held = Held(hung)
    session = hung.context.new_cdp_session(hung.page)
    session.send("Page.setWebLifecycleState", {"state": "frozen"})

    other.page.evaluate(LATER)
    other.drained()

    session.send("Page.setWebLifecycleState", {"state": "active"})
    held.let_go()
    expect(hung.page.locator("main")).to_contain_text(ALL_SENT)
    all_once(other)


def test_a_crashed_tab_does_not_keep_the_entries_from_the_clinic(handset):
    hung = handset()
    other = hung.tab()
    Held(hung)
    with hung.page.expect_event("crash"), suppress(Error):
        hung.page.goto("chrome://crash", timeout=5_000)

    other.restart()
    other.drained()

    all_once(other)


def test_a_tab_closed_in_the_middle_of_its_push_leaves_the_entry_to_the_other(handset):
    hung = handset()
    other = hung.tab()
    Held(hung)

    hung.page.close()
    other.restart()
    other.drained()

    all_once(other)
