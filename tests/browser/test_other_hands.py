"""A bout and its skin checks by keyboard alone, and by taps on other screens than most."""

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.handset import Handset

pytestmark = pytest.mark.browser

STOPS_MOST = 60  # of a screen, once round
LETTERS_PX = "() => parseFloat(getComputedStyle(document.querySelector('main')).fontSize)"
HAS_FOCUS = """(wanted) => {
    const here = document.activeElement;
    return here === wanted || (here.type === "radio" && here.name === wanted.name);
}"""


class Keyboard:
    """Nothing but keys; counts them."""

    def __init__(self, page: Page) -> None:
        self.page, self.pressed = page, 0

    def press(self, key: str) -> None:
        self.page.keyboard.press(key)
        self.pressed += 1

    def go_to(self, control: Locator) -> None:
        control.first.wait_for()
        for _ in range(STOPS_MOST):
            if control.first.evaluate(HAS_FOCUS):
                return
            self.press("Tab")
        raise AssertionError(f"Tab does not lead to {control}")

    def enter(self, words: str, role: str = "button") -> None:
        self.go_to(self.page.get_by_role(role, name=words))
        self.press("Enter")

    def rate(self, question: str, value: int) -> None:
        group = self.page.get_by_role("group", name=question)
        self.go_to(group.get_by_role("radio").first)
        self.press("Space")
        for _ in range(value):
            self.press("ArrowRight")
        expect(group.get_by_role("radio", name=str(value), exact=True)).to_be_checked()

    def skin_is_the_same(self) -> None:
        self.go_to(self.page.get_by_role("radio", name="It looks and feels the same"))
        self.press("Space")

    def type(self, words: str) -> None:
        self.page.keyboard.type(words)
        self.pressed += len(words)


def kinds(phone: Handset) -> list[str]:
    return sorted(row["kind"] for row in phone.rows())


def test_a_bout_is_done_and_logged_by_keyboard_alone(handset, capsys):
    phone = handset(reduced_motion="reduce")
    keys = Keyboard(phone.page)

    keys.enter("Start bout 1", "link")
    keys.enter("Skip this for now")
    keys.skin_is_the_same()
    keys.rate("How bad is your knee pain now?", 1)
    keys.enter("Save and go on")
    keys.enter("I did it without the count")
    keys.go_to(phone.page.get_by_role("spinbutton", name="Channel 1"))
    keys.type("42")
    keys.rate("How much discomfort came from the current?", 3)
    keys.rate("How bad is your knee pain now?", 2)
    keys.enter("Save the bout")
    keys.skin_is_the_same()
    keys.enter("Save the skin check")

    expect(phone.page.get_by_text("1 of 1 done today")).to_be_visible()
    assert kinds(phone) == ["bout", "skin_check", "skin_check"]
    with capsys.disabled():
        print(f"\nKeys: {keys.pressed} for a bout and its skin checks.")


@pytest.mark.parametrize(("width", "letters_px", "scheme"), [(320, 32, "dark"), (412, 16, "light")])
def test_a_bout_is_done_and_logged_by_taps_at_any_width(handset, width, letters_px, scheme):
    phone = handset(color_scheme=scheme)
    phone.page.set_viewport_size({"width": width, "height": 640})
    session = phone.context.new_cdp_session(phone.page)
    session.send("Page.setFontSizes", {"fontSizes": {"standard": letters_px}})
    phone.restart()
    assert phone.page.evaluate(LETTERS_PX) >= letters_px

    phone.app.full_day()

    expect(phone.page.get_by_text("1 of 1 done today")).to_be_visible()
    assert kinds(phone) == ["bout", "skin_check", "skin_check"]
