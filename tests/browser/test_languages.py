"""The patient's screens in languages that nobody speaks: longer, and from right to left.

What a new language would break shows here first: words that are not from the catalogue,
words that are cut, a screen that has to be pushed sideways.
"""

import re

import pytest
from playwright.sync_api import BrowserContext, Page

from tests.browser import pseudo
from tests.browser.look import MEASURE, NARROW
from tests.browser.phone import PatientApp

pytestmark = pytest.mark.browser

UNFOLD = "() => document.querySelectorAll('details').forEach((one) => { one.open = true; })"
# What is on the screen, and what the clinic and the patient wrote, which nobody translates.
SHOWN = """() => [
    document.title, document.body.innerText,
    ...[...document.querySelectorAll("[aria-label]")].map((one) => one.getAttribute("aria-label")),
].join("\\n")"""
GIVEN = """async () => {
    const all = (name, store) => new Promise((resolve) => {
        const opening = indexedDB.open(name);
        opening.onsuccess = () => {
            const asked = opening.result.transaction(store).objectStore(store).getAll();
            asked.onsuccess = () => { opening.result.close(); resolve(asked.result); };
        };
    });
    const record = (store) => all("boutwise-record", store);
    return JSON.stringify([await record("single"), await record("program")]);
}"""
OURS = {"boutwise", "english", "español", "version", "xxxxx"}
DAYS = set(re.findall("...", "montuewedthufrisatsunjanfebmaraprmayjunjulaugsepoctnovdec"))


@pytest.fixture(scope="module")
def phone(chromium_browser, live_clinic) -> Page:
    """Paired once; each language is loaded anew into the same phone."""
    context: BrowserContext = chromium_browser.new_context(
        viewport=NARROW, has_touch=True, reduced_motion="reduce", service_workers="block"
    )
    context.set_default_timeout(20_000)
    page = context.new_page()
    app = PatientApp(page, live_clinic.url)
    app.open()
    app.pair(live_clinic.patient().code)
    page.locator("a[href^='#log/']").first.wait_for()
    yield page
    context.close()


def screens(page: Page) -> list[str]:
    episode = page.locator("a[href^='#log/']").first.get_attribute("href").split("/")
    of_episode = [f"#{name}/{episode[1]}" for name in ("before", "not-done", "pads")]
    plain = ["so-far", "call", "settings", "leave", "stop", "note", "changed", "waiting", "pair"]
    plain += ["lesson/again/1", "photos"]
    return [*of_episode, "/".join(episode), *(f"#{name}" for name in plain)]


def walked(page: Page, url: str, words: str) -> dict[str, tuple[str, dict]]:
    """By screen, what it shows and how it measures at 320 px."""
    pseudo.speak(page.context, words)
    page.goto("about:blank")
    page.goto(url)
    page.locator("a[href^='#log/']").first.wait_for()
    found = {"#next": seen(page)}
    for screen in screens(page):
        before = page.title()
        page.evaluate("hash => { location.hash = hash; }", screen)
        page.wait_for_function("title => document.title !== title", arg=before)
        found[screen.split("/")[0]] = seen(page)
    return found


def seen(page: Page) -> tuple[str, dict]:
    page.evaluate(UNFOLD)
    return page.evaluate(SHOWN), page.evaluate(MEASURE, {})


@pytest.fixture(scope="module")
def longer(phone, live_clinic):
    return walked(phone, f"{live_clinic.url}/p/", pseudo.told(pseudo.accented))


@pytest.fixture(scope="module")
def turned(phone, live_clinic):
    return walked(phone, f"{live_clinic.url}/p/", pseudo.told(pseudo.turned, direction="rtl"))


def faults(found: dict) -> dict[str, list[str]]:
    told = {
        screen: measured["sideways"] + measured["clipped"] + measured["overlapping"]
        for screen, (_, measured) in found.items()
    }
    return {screen: one for screen, one in told.items() if one}


def test_no_word_is_from_outside_the_catalogue(phone, longer):
    given = {word.lower() for word in re.findall(r"[A-Za-z]{3,}", phone.evaluate(GIVEN))}

    foreign = {
        screen: sorted(
            {word for word in re.findall(r"\b[A-Za-z]{3,}\b", shown)
             if word.lower() not in given | OURS | DAYS and not re.search(r"\d", word)}
        )
        for screen, (shown, _) in longer.items()
    }  # fmt: skip

    assert len(longer) > 12
    assert {screen: words for screen, words in foreign.items() if words} == {}


def test_longer_words_are_neither_cut_nor_push_the_screen_sideways(longer):
    assert faults(longer) == {}


def test_from_right_to_left_nothing_is_cut_or_pushed_sideways(phone, turned):
    assert phone.evaluate("() => document.documentElement.dir") == "rtl"
    assert faults(turned) == {}
