"""Screening by keyboard and a strength test that answers while one types."""

import pytest
from playwright.sync_api import expect

from tests.browser.desk import Desk

pytestmark = pytest.mark.browser
INK = """(canvas) => {
  const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
  return data.filter((value, n) => n % 4 === 3 && value > 0).length;
}"""


class Room:
    """One patient's pages at the desk."""

    def __init__(self, server, browser) -> None:
        story = server.seed("one_patient")
        self.browser, self.page = browser, browser.open()
        Desk(self.page, server.url).sign_in(story["login"], story["password"])
        self.episode = f"{server.url}/desk/episodes/{story['episode']}"

    def open(self, part: str) -> None:
        self.page.goto(f"{self.episode}/{part}/")

    def fill(self, **values: str) -> None:
        for name, value in values.items():
            self.page.locator(f"[name={name}]").fill(value)

    def says(self, words: str) -> None:
        expect(self.page.locator("[data-result]")).to_contain_text(words)

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name).click()


@pytest.fixture
def room(server, desk_browser) -> Room:
    return Room(server, desk_browser)


def test_a_screening_takes_one_key_a_question(room):
    room.open("screening")
    room.page.locator("[type=radio]").first.focus()

    for _ in range(27):
        room.page.keyboard.press("n")

    expect(room.page.locator("[data-progress]")).to_have_text("27 of 27 answered, 0 yes")
    room.press("Record this screening")
    expect(room.page.locator(".said")).to_have_text("Screening recorded: clear.")


def test_a_yes_opens_its_reason_and_puts_the_hand_there(room):
    room.open("screening")
    clot = room.page.locator("[data-question]").nth(1)
    expect(clot.locator("textarea")).to_be_hidden()

    clot.locator("[value=no]").focus()
    room.page.keyboard.press("y")

    expect(clot.locator("textarea")).to_be_focused()
    room.page.keyboard.type("yes and no")  # letters of a note answer nothing
    expect(room.page.locator("[data-progress]")).to_have_text("1 of 27 answered, 1 yes")


def test_a_strength_test_answers_while_one_types_and_is_drawn(room):
    room.open("strength/add")
    room.page.get_by_label("Yes", exact=True).check()
    room.page.get_by_label("sound", exact=True).check()
    room.page.locator("[name=method]").select_option("electromechanical")
    room.page.locator("[name=unit]").select_option("N")
    room.fill(involved_1="260", uninvolved_1="310", lever_arm_m="35", body_mass_kg="74")
    room.says("Was it 0.35 m?")

    room.fill(lever_arm_m="0.35", cleared_on="2026-01-01", knee_angle_deg="60")
    room.says("LSI83.8 %")
    room.says("Within measurement error of it: borderline, repeat.")
    room.press("Record this test")

    expect(room.page.get_by_role("heading", name="Over time")).to_be_visible()
    for canvas in room.page.locator("canvas").all():
        expect(canvas).to_be_visible()
        assert canvas.evaluate(INK) > 1000
    assert room.browser.faults == []
