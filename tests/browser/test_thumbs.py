"""What a thumb, a tired eye and a hurried hand need of every screen of the patient's app."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.handset import Handset

pytestmark = pytest.mark.browser

SCREENS = [
    "next", "so-far", "call", "stop", "settings", "note", "changed", "waiting", "photos",
    "before/{episode}", "log/{episode}", "not-done/{episode}", "pads/{episode}",
]  # fmt: skip
ASKING = ["before/{episode}", "log/{episode}", "not-done/{episode}", "stop", "changed"]
FAR_PX = 16  # a slip from a routine control must not land on the one that stops
NEAR_PX = 8  # and a near miss of the next step still counts

DISTANCES = """() => {
    const box = (element) => element.getBoundingClientRect();
    const apart = (a, b) => Math.hypot(
        Math.max(0, a.left - b.right, b.left - a.right),
        Math.max(0, a.top - b.bottom, b.top - a.bottom));
    const others = [...document.querySelectorAll("a[href], button, input, summary, textarea")]
        .filter((one) => one.checkVisibility() && !one.matches("[href='#stop']"));
    const stop = document.querySelector(".top [href='#stop']");
    return others.map((one) => [one.textContent.trim().slice(0, 30), apart(box(stop), box(one))]);
}"""
ANSWERED = """() => [...document.querySelectorAll("input:checked, textarea, input[type=text]")]
    .filter((one) => one.checkVisibility() && (one.checked || one.value))
    .filter((one) => !one.name.startsWith("day-"))
    .map((one) => `${one.name || one.id} = ${one.value}`)"""


@pytest.fixture(scope="module")
def phone(chromium_browser, live_clinic):
    context = chromium_browser.new_context(viewport=PHONE, has_touch=True)
    yield Handset(context, live_clinic, live_clinic.patient()).pair()
    context.close()


def visit(phone: Handset, screen: str) -> str:
    """The screen, opened; its name in the address."""
    name = screen.format(episode=phone.owner.episode)
    phone.go(f"#{name}")
    phone.page.wait_for_timeout(150)
    expect(phone.page.locator("main h1")).to_be_attached()
    return name


def test_the_clinics_number_is_one_tap_away_everywhere_and_offline(phone):
    phone.page.context.set_offline(True)
    without = []
    for screen in SCREENS:
        name = visit(phone, screen)
        if not phone.page.locator(".top a[href='tel:01632960001']").is_visible():
            without.append(name)
    phone.page.context.set_offline(False)

    assert without == []


def test_nothing_routine_lies_close_to_what_reports_a_stop(phone):
    close = {}
    for screen in SCREENS:
        name = visit(phone, screen)
        near = [what for what, px in phone.page.evaluate(DISTANCES) if px < FAR_PX]
        if near:
            close[name] = near

    assert close == {}


def test_no_question_of_safety_is_answered_beforehand(phone):
    answered = {}
    for screen in ASKING:
        name = visit(phone, screen)
        if found := phone.page.evaluate(ANSWERED):
            answered[name] = found

    # A log begins with what the count or the plan says; it is shown to be corrected.
    log = answered.pop(f"log/{phone.owner.episode}", [])
    assert answered == {}
    assert [one for one in log if "pain" in one or "discomfort" in one] == []


def test_a_near_miss_of_the_next_step_still_counts(phone):
    visit(phone, "next")
    box = phone.page.locator(".action .primary").first.bounding_box()

    phone.page.mouse.click(box["x"] + box["width"] / 2, box["y"] - NEAR_PX + 1)

    expect(phone.page.locator("main h1")).not_to_have_text("Next bout")
    assert "#before/" in phone.page.url or "#lesson" in phone.page.url


def test_a_finger_that_slides_off_a_button_presses_nothing(phone):
    visit(phone, "next")
    before = phone.page.url
    box = phone.page.locator(".action .primary").first.bounding_box()

    phone.page.mouse.move(box["x"] + 20, box["y"] + 20)
    phone.page.mouse.down()
    phone.page.mouse.move(box["x"] + 20, box["y"] - 200)
    phone.page.mouse.up()

    assert phone.page.url == before
