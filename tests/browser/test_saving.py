"""A tap on save is one entry, whatever the hand or the browser does next."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.handset import SAVED, Handset, differences

pytestmark = pytest.mark.browser

TAP_AND = """(then) => {
    document.querySelector(".action button.primary").click();
    (%s)();
}"""
LEAVE = {
    "to a page of the same server": "() => { location.href = '/rescue/'; }",
    "to an empty page": "() => { location.href = 'about:blank'; }",
    "by a reload": "() => { location.reload(); }",
    "back": "() => { history.back(); }",
    "to another screen": "() => { location.hash = '#so-far'; }",
}
TRIES = 2


@pytest.fixture(scope="module")
def phone(chromium_browser, live_clinic):
    context = chromium_browser.new_context(viewport=PHONE, has_touch=True)
    yield Handset(context, live_clinic, live_clinic.patient()).pair()
    context.close()


def found_once(phone: Handset, text: str) -> None:
    """At the next start the entry is there, or its form as it was left; saved, it is one."""
    phone.restart()
    phone.go("#note")
    # The form first: a page that is going may still swap it for the entry.
    asked_again = phone.page.locator("#text").input_value() == text
    assert asked_again or phone.texts().count(text) == 1, f"gone without a word: {text}"
    if asked_again:
        phone.tap_save()
        phone.expect_told(SAVED)
    assert phone.texts().count(text) == 1


@pytest.mark.parametrize("how", LEAVE)
def test_an_entry_whose_page_is_left_at_once_is_stored_or_still_in_its_form(phone, how):
    for number in range(TRIES):
        text = f"left {how}, {number}"
        tab = phone.tab()
        tab.note(text)

        tab.page.evaluate(TAP_AND % LEAVE[how])
        tab.page.wait_for_timeout(100)

        found_once(phone, text)
        tab.page.close()


def test_an_entry_whose_tab_is_closed_at_once_is_stored_or_still_in_its_form(phone):
    for number in range(TRIES):
        text = f"closed {number}"
        tab = phone.tab()
        tab.note(text)

        tab.page.evaluate(TAP_AND % "() => {}")
        tab.page.close()

        found_once(phone, text)


def test_a_page_that_is_frozen_while_it_saves_finishes_when_it_wakes(phone):
    session = phone.context.new_cdp_session(phone.page)
    phone.note("frozen")

    phone.page.evaluate(TAP_AND % "() => {}")
    session.send("Page.setWebLifecycleState", {"state": "frozen"})
    session.send("Page.setWebLifecycleState", {"state": "active"})

    phone.expect_told(SAVED)
    assert phone.texts().count("frozen") == 1


def test_two_quick_taps_are_one_entry(phone):
    phone.note("tapped twice")

    phone.page.locator(".action button.primary").dblclick()

    phone.expect_told(SAVED)
    expect(phone.page.locator("#text")).to_have_count(0)
    assert phone.texts().count("tapped twice") == 1


def test_a_burst_of_taps_within_one_moment_is_one_entry(phone):
    phone.note("tapped ten times")

    phone.page.evaluate(
        "() => { for (let at = 0; at < 10; at += 1)"
        " document.querySelector('.action button.primary').click(); }"
    )

    phone.expect_told(SAVED)
    phone.page.wait_for_timeout(200)
    assert phone.texts().count("tapped ten times") == 1


def test_back_after_a_save_shows_no_form_again(phone):
    phone.go("#so-far")
    expect(phone.page.locator("h1")).to_have_text("So far")
    phone.save_note("once")
    expect(phone.page.locator("#text")).to_have_count(0)

    phone.page.go_back()

    expect(phone.page.locator("h1")).to_have_text("So far")
    assert phone.texts().count("once") == 1


def test_enter_in_a_field_and_a_tap_are_one_bout(phone):
    had = len(phone.rows())
    phone.go(f"#log/{phone.owner.episode}")
    phone.app.rate("How bad was your knee pain before?", 1)
    phone.app.rate("How much discomfort came from the current?", 3)
    phone.app.rate("How bad is your knee pain now?", 2)
    strength = phone.page.get_by_role("spinbutton", name="Channel 1")
    strength.fill("42")

    strength.press("Enter")
    phone.tap_save("Save the bout")

    phone.expect_told(SAVED)
    assert [row["kind"] for row in phone.rows()[had:]] == ["bout"]


def test_all_of_it_reaches_the_clinic_once(phone):
    phone.save_note("the last one")

    phone.drained()

    assert differences(phone.rows(), phone.clinic.entries(phone.owner)) == []
    assert phone.clinic.held(phone.owner) == []
