"""A browser that clears the phone's storage: noticed, dated, told to patient and clinic."""

import time

import pytest
from playwright.sync_api import expect

from tests.browser.test_main_job import Room

pytestmark = pytest.mark.browser
PATIENCE_S = 20


@pytest.fixture
def room(server, phone_browser, desk_browser) -> Room:
    room = Room(server, phone_browser, desk_browser)
    room.pair()
    return room


def clear_storage(room: Room) -> None:
    """What scripts wrote goes, the clinic's cookie stays: as browsers do when space is short."""
    session = room.phone.page.context.new_cdp_session(room.phone.page)
    kinds = "indexeddb,local_storage,cache_storage,service_workers,storage_buckets"
    told = {"origin": room.server.url, "storageTypes": kinds}
    room.phone.page.goto("about:blank")
    session.send("Storage.clearDataForOrigin", told)


@pytest.fixture
def cleared(room) -> Room:
    """Three entries had reached the clinic; the phone was started anew since."""
    room.phone.full_day()
    room.phone.send_now()
    room.phone.expect_words("All your entries are at the clinic.")
    clear_storage(room)
    room.cold_start()
    expect(room.phone.page.locator("main")).to_contain_text("The log on this phone was cleared")
    return room


def test_a_cleared_phone_tells_patient_and_clinic_and_counts_on(cleared):
    cleared.phone.send_now()

    # Nothing waits, so only the desk shows that the phone's word has come.
    until = time.monotonic() + PATIENCE_S
    while "Lost entries" not in (panel := cleared.desk.panel()) and time.monotonic() < until:
        pass
    assert "Lost entries" in panel
    page = cleared.desk.patient(cleared.patient)
    assert "its log was cleared; what it had not sent is gone" in page.lower()
    assert cleared.server.python("-c", ANOTHER).split() == ["3", "[]"]


def test_an_entry_after_the_clearing_takes_the_next_number(cleared):
    cleared.phone.page.evaluate("() => { location.hash = '#note'; }")
    cleared.phone.page.locator("#text").fill("Written after it was cleared.")
    cleared.phone.tap("Save and send", "button")
    expect(cleared.phone.page.locator("#text")).to_have_count(0)  # saved, and gone on
    cleared.phone.send_now()
    cleared.phone.expect_words("All your entries are at the clinic.")

    assert cleared.server.python("-c", ANOTHER).split() == ["4", "[]"]


ANOTHER = """
import django; django.setup()
from homeprogram.models import Entry, Phone
from homeprogram.selectors.log import gaps
phone = Phone.objects.exclude(label="old phone").get()
print(Entry.objects.filter(phone=phone).count(), gaps(phone=phone))
"""
