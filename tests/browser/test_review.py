"""The weekly review by keyboard alone: one key an outcome, and the note after it."""

import re

import pytest
from playwright.sync_api import expect

from tests.benchmarks.review.__main__ import STORY, go_through
from tests.browser.desk import Desk
from tests.browser.keys import keyboard_faults

pytestmark = pytest.mark.browser


@pytest.fixture
def page(server, desk_browser):
    story = server.seed("two_to_review")
    page = desk_browser.open()
    Desk(page, server.url).sign_in(story["login"], story["password"])
    page.goto(f"{server.url}/desk/review/")
    return page


def test_two_patients_are_reviewed_without_a_pointer(page):
    """The first is paused and written up, the second carried on with."""
    first = page.locator("h1").inner_text()

    page.keyboard.press("p")
    page.locator("[name=reason]").first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile("notes/add"))
    page.locator("[name=assessment]").focus()
    page.keyboard.type("Came back from a cold.")
    page.keyboard.press("Tab")
    page.keyboard.type("Call on Friday. c d e.")  # no key of the review while one types
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    expect(page.locator("h1")).not_to_have_text(first)
    expect(page.locator(".run label")).to_contain_text("1 of 2 reviewed since Monday")
    page.keyboard.press("c")

    expect(page.locator("main")).to_contain_text("Nobody waits")
    expect(page.locator("main")).to_contain_text(f"{first}: pause")


def test_the_review_that_is_measured_goes_through_its_panel(server, desk_browser):
    """Else its times would be of another review than the desk's."""
    story = server.seed("panel_of_two", stories=STORY)
    page = desk_browser.open()
    Desk(page, server.url).sign_in(story["login"], story["password"])
    page.goto(f"{server.url}/desk/review/")

    hands = go_through(page)

    assert {kind: len(several) for kind, several in hands.items()} == {"quiet": 1, "flagged": 1}


def test_the_keys_of_a_review_are_listed_and_can_be_switched_off(page):
    page.keyboard.press("?")

    listed = page.locator("[data-keys-list]")
    expect(listed).to_contain_text("cCarry on")
    expect(listed).to_contain_text("kContact")
    expect(listed).not_to_contain_text("next patient")
    page.locator("[data-keys-on]").uncheck()
    page.get_by_role("button", name="Close").click()
    page.keyboard.press("c")
    expect(page).to_have_title(re.compile("Weekly review"))
    expect(page.locator(".run label")).to_contain_text("0 of 2 reviewed")


def test_a_double_click_sends_a_form_once(page):
    page.keyboard.press("k")
    page.wait_for_url(re.compile("contacts/add"))
    page.get_by_label("spoke, or sent and received").check()
    posts = []
    page.on("request", lambda one: posts.append(one.url) if one.method == "POST" else None)

    # The answer is slow, so that the second click finds the form still there.
    page.route("**/contacts/add/**", lambda route: (page.wait_for_timeout(500), route.continue_()))
    page.get_by_role("button", name="Write it down").dblclick(delay=40, no_wait_after=True)
    page.wait_for_url(re.compile("notes/add"))

    assert len(posts) == 1


def test_every_control_of_a_review_is_reached_by_tab_and_shows_it(page):
    assert keyboard_faults(page) == []
