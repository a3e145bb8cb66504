"""Prescribing in a real browser: the form answers while one types, and without scripts too."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Browser
from tests.browser.desk import Desk

pytestmark = pytest.mark.browser
FIRST_BOUT = {"start_1": "20", "floor_1": "30", "ceiling_1": "60"}
STIMULATOR = "Portable, high output (mA, up to 120)"
FIVE = ("quad_set", "isometric_extension", "roll_press", "leg_raise", "short_kick")


class Form:
    """The program form of a screened patient, started from a family."""

    def __init__(self, server, browser, family: str = "acl_reconstruction") -> None:
        self.story = server.seed("one_screened_episode")
        self.page = browser.open()
        Desk(self.page, server.url).sign_in(self.story["login"], self.story["password"])
        self.url = f"{server.url}/desk/episodes/{self.story['episode']}/program/{family}/"
        self.page.goto(self.url)
        self.page.locator("[name=stimulator]").select_option(label=STIMULATOR)

    def type(self, **values: str) -> None:
        for name, value in values.items():
            self.page.locator(f"[name={name}]").fill(value)

    def says(self, words: str) -> None:
        expect(self.page.locator("[data-panel]")).to_contain_text(words)

    def value(self, name: str) -> str:
        return self.page.locator(f"[name={name}]").input_value()

    def save(self) -> None:
        self.page.get_by_role("button", name="Assign this home program").click()


@pytest.fixture
def form(server, desk_browser) -> Form:
    return Form(server, desk_browser)


def test_the_page_answers_while_one_types_and_nothing_breaks_the_policy(form, desk_browser):
    form.page.evaluate(
        "() => { window.broken = []; document.addEventListener('securitypolicyviolation',"
        " (event) => window.broken.push(event.violatedDirective)); }"
    )
    form.says("15 contractions a bout in 15 min")

    form.type(off_s="10", contractions_per_bout="30", **FIRST_BOUT)

    form.says("30 contractions a bout in 10 min (5 min with current)")
    form.says("Rest 10 s: shorter than the 12-50 s of the family 'After ACL reconstruction'.")
    form.says("doi 10.3138/ptc.2015-88 (read in the source)")
    form.says("Current, r.m.s.10.4 mA")
    form.says("2 s up, 6 s plateau, 2 s down, then 10 s off; a cycle takes 20 s")
    corners = form.page.locator(".pattern-line").get_attribute("points")
    assert corners.startswith("0,96 50,8 200,8 250,96 500,96")
    assert form.page.evaluate("window.broken") == []
    assert desk_browser.faults == []


def test_who_listens_hears_one_sentence_once_the_typing_rests(form):
    form.page.evaluate(
        "() => { window.heard = []; const place = document.querySelector('[data-said]');"
        " new MutationObserver(() => window.heard.push(place.textContent))"
        ".observe(place, { childList: true }); }"
    )

    form.page.locator("[name=off_s]").press_sequentially("1234", delay=40)
    form.type(off_s="10")

    expect(form.page.locator("[data-said]")).to_have_text(re.compile("Checked"))
    form.page.wait_for_timeout(1000)
    heard = form.page.evaluate("window.heard")
    assert len(heard) == 1
    assert re.fullmatch(r"Checked: \d+ outside and \d+ worth a look\.", heard[0])


def test_a_slip_is_named_and_its_button_puts_it_right(form):
    form.type(phase_duration_us="300000")
    form.says("A pulse would fill 15 periods")

    form.page.get_by_role("button", name="Use 300 µs").click()

    form.says("15 contractions a bout in 15 min")
    assert form.value("phase_duration_us") == "300"


def test_a_value_that_hardly_ever_is_asks_and_lets_itself_be_confirmed(form):
    form.type(off_s="1", position="sitting", **FIRST_BOUT)
    form.page.locator("[name=exercise_1]").select_option("quad_set")
    form.says("1 s: did you mean 60 s (minutes typed for seconds)?")

    form.page.get_by_label("I am sure").check()
    form.save()

    expect(form.page.locator("main")).to_contain_text("Revision 1 saved")


def test_pads_follow_their_size_and_fields_their_choice(form):
    assert not form.page.locator("[name=burst_ms]").is_visible()
    form.page.locator("[name=pad_shape]").select_option("rectangle")
    form.type(pad_width_cm="5", pad_height_cm="9", **FIRST_BOUT)
    form.page.locator("[name=waveform]").select_option("burst_ac")

    form.says("Counted only")
    form.type(burst_ms="10", phase_duration_us="200")

    # 60 mA peak, half of the time in bursts: 60 x sqrt(0.5 / 2) = 30 mA r.m.s.; 30 / 45 cm².
    form.says("Density, r.m.s., full contact0.667 mA/cm²")
    assert form.value("electrode_cm2") == "45"


def test_the_last_answer_wins(form):
    slow = []

    def hold_back(route):
        if '"off_s":20' in (route.request.post_data or ""):
            slow.append(route)
        else:
            route.continue_()

    form.page.route("**/api/v1/dose-check/", hold_back)
    form.type(off_s="20")
    form.page.wait_for_timeout(600)
    form.type(off_s="40")

    form.says("then 40 s off")
    assert slow
    slow[0].continue_()
    form.page.wait_for_timeout(500)
    form.says("then 40 s off")


def test_a_draft_is_there_after_the_session_is_gone(form, server):
    with form.page.expect_response("**/desk/drafts/**"):
        form.type(off_s="44")
    form.page.get_by_role("button", name="Sign out").click()
    form.page.wait_for_url("**/account/**")
    desk = Desk(form.page, server.url)
    desk.sign_in(form.story["login"], form.story["password"])
    form.page.goto(form.url)

    form.page.get_by_role("link", name="Go on with your draft").click()

    assert form.value("off_s") == "44"
    form.says("then 44 s off")


def test_without_scripts_the_same_is_said_on_a_button(server, playwright, tmp_path):
    browser = Browser(
        playwright, tmp_path / "plain", viewport={"width": 360, "height": 740},
        java_script_enabled=False,
    )  # fmt: skip
    form = Form(server, browser)
    form.type(off_s="10", phase_duration_us="300000", **FIRST_BOUT)
    form.page.get_by_role("button", name="Count and compare").click()
    form.says("A pulse would fill 15 periods")

    form.page.get_by_role("button", name="Use 300 µs").click()

    form.says("15 contractions a bout in 5 min")
    form.says("Rest 10 s: shorter than the 12-50 s")
    form.page.locator("[name=exercise_1]").select_option("quad_set")
    form.save()
    expect(form.page.locator("main")).to_contain_text("Revision 1 saved")
    browser.close()


@pytest.mark.parametrize("code", [False, True], ids=["plain", "with a code"])
def test_the_sheet_is_one_page_in_large_type_and_a_code_has_its_own(form, code):
    for number, exercise in enumerate(FIVE, start=1):
        row = form.page.locator("details.exercise").nth(number - 1)
        if row.get_attribute("open") is None:
            row.locator("summary").click()
        form.page.locator(f"[name=exercise_{number}]").select_option(exercise)
    form.type(**FIRST_BOUT)
    form.save()
    form.page.get_by_role("link", name="Sheet for the patient").click()
    if code:
        form.page.get_by_role("button", name="Put a pairing code on it").click()
        expect(form.page.locator(".sheet-code")).to_be_visible()

    pages = {paper: pages_in(form.page.pdf(format=paper)) for paper in ("A4", "Letter")}

    sizes = form.page.locator(".sheet").evaluate_all(
        "(sheets) => sheets.flatMap((sheet) =>"
        " [...sheet.querySelectorAll('p, li, dt, dd, figcaption')])"
        ".map((one) => parseFloat(getComputedStyle(one).fontSize))"
    )
    whole = 2 if code else 1  # the code has a page of its own
    assert pages == {"A4": whole, "Letter": whole}
    assert min(sizes) >= 18.6  # 14 pt


def pages_in(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))
