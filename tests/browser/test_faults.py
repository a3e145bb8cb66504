"""A form that was refused says what is wrong so that anybody hears, sees and reaches it."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.handset import SAVED, Handset

pytestmark = pytest.mark.browser

WORDS = (
    """() => [...document.querySelectorAll(".fault-list button")].map((one) => one.textContent)"""
)
# What a screen reader is told of the field that has the focus, and whether it is in sight.
HERE = """() => {
    const held = document.activeElement.closest("[aria-invalid]");
    const { top, bottom } = document.activeElement.getBoundingClientRect();
    return {
        marked: held?.getAttribute("aria-invalid"),
        told: document.getElementById(held?.getAttribute("aria-describedby"))?.textContent,
        seen: bottom > 0 && top < innerHeight,
    };
}"""
LISTEN = """() => {
    globalThis.told = [];
    new MutationObserver(() => told.push(document.querySelector(".told").textContent)).observe(
        document.querySelector(".told"), { childList: true, characterData: true, subtree: true });
    globalThis.asked = 0;
    navigator.storage.persist = async () => { asked += 1; return true; };
}"""


@pytest.fixture(scope="module")
def phone(chromium_browser, live_clinic):
    context = chromium_browser.new_context(viewport=PHONE, has_touch=True)
    yield Handset(context, live_clinic, live_clinic.patient()).pair()
    context.close()


def test_the_list_of_faults_takes_the_focus_and_leads_to_each_field(phone):
    phone.go(f"#log/{phone.owner.episode}")
    phone.tap_save("Save the bout")

    expect(phone.page.locator(".fault-list")).to_be_focused()
    assert phone.page.title().startswith("Please check:")
    faults = phone.page.evaluate(WORDS)
    assert len(faults) >= 3
    for at, words in enumerate(faults):
        phone.page.locator(".fault-list button").nth(at).click()
        assert phone.page.evaluate(HERE) == {"marked": "true", "told": words, "seen": True}


def test_a_save_is_told_once_and_asks_the_browser_to_keep_the_store(phone):
    phone.note("told once")
    phone.page.evaluate(LISTEN)

    phone.tap_save()

    phone.expect_told(SAVED)
    phone.rests()
    assert phone.page.evaluate("() => told.filter((words) => words)") == [SAVED]
    assert phone.page.evaluate("() => asked") == 1
