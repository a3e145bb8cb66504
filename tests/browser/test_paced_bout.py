"""The paced bout: right after any sleep, set clock or kill, and told as it went."""

import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.handset import ALL_SENT, Handset, body
from tests.browser.live_clinic import LiveClinic

pytestmark = pytest.mark.browser

STUBS = Path(__file__).parent / "paced.js"
NOON = datetime.now(tz=UTC).replace(hour=12, minute=0, second=0, microsecond=0)
ON_S, CYCLE_S, CONTRACTIONS = 10, 30, 6
LATE_MS = 250  # what the shown cue may be behind
# One cycle as the program says it: 2 s up, 7 s, 1 s down, 20 s off with 10 s of own effort.
PRESS = [("rising", 2), ("on", 9), ("falling", 10), ("rest", 15), ("alone", 25), ("rest", 27)]
KICK = [("lift", 3), ("hold", 6), ("lower", 9), ("falling", 10), *PRESS[3:]]

# The phone took the lamp back while the page was hidden; now it is seen again.
COMES_BACK = """({ answers }) => {
    lamp.released = true;
    lampAnswers = answers;
    document.dispatchEvent(new Event("visibilitychange"));
}"""

FORGET = """(key) => new Promise((resolve) => {
    indexedDB.open("boutwise-queue").onsuccess = ({ target: { result: db } }) => {
        const change = db.transaction("drafts", "readwrite");
        change.objectStore("drafts").delete(key);
        change.oncomplete = () => { db.close(); resolve(); };
    };
})"""

COUNTED = """(key) => new Promise((resolve) => {
    indexedDB.open("boutwise-queue").onsuccess = ({ target: { result: db } }) => {
        const asked = db.transaction("drafts").objectStore("drafts").get(key);
        asked.onsuccess = () => { db.close(); resolve(Boolean(asked.result?.value.count)); };
    };
})"""


def cue_at(ran_s: float) -> str:
    """By hand, apart from the app's own reckoning."""
    done, at = divmod(ran_s, CYCLE_S)
    if ran_s >= CYCLE_S * CONTRACTIONS - (CYCLE_S - ON_S):
        return "over"
    cycle = PRESS if done < CONTRACTIONS / 2 else KICK
    return next((cue for cue, until in cycle if at < until), "ready")


class Paced(Handset):
    """A phone whose time stands still unless it is moved."""

    ran_s = 0.0

    def forget_bout(self) -> None:
        self.go("#so-far")
        expect(self.page.locator("h1")).to_have_text("So far")
        self.page.evaluate(FORGET, f"bout:{self.owner.episode}")

    def begin(self) -> None:
        self.go(f"#before/{self.owner.episode}")
        self.app.skin_is_the_same()
        self.app.rate("How bad is your knee pain now?", 1)
        self.app.tap("Save and go on", "button")
        self.app.tap("Start the count", "button")
        expect(self.count).to_be_visible()
        # A jump of the clock would also end the wait for a database that is just answering.
        while not self.page.evaluate(COUNTED, f"bout:{self.owner.episode}"):
            time.sleep(0.05)

    @property
    def count(self):
        return self.page.locator(".count")

    def cue(self) -> str:
        return self.count.get_attribute("data-cue")

    def sleeps(self, seconds: float) -> None:
        """Both clocks run on while no timer fires: a page that was frozen or locked."""
        self.page.clock.fast_forward(round(seconds * 1000) - LATE_MS)
        self.page.clock.run_for(LATE_MS)
        self.ran_s += seconds

    def wall_clock_moves(self, by: timedelta) -> None:
        shown = self.page.evaluate("() => Date.now()")
        self.page.clock.set_system_time(datetime.fromtimestamp(shown / 1000, tz=UTC) + by)
        self.page.clock.run_for(LATE_MS)
        self.ran_s += LATE_MS / 1000

    def given(self) -> dict:
        return self.page.evaluate("() => structuredClone(given)")

    def contraction(self) -> str:
        return self.page.locator(".count-number").inner_text()


@pytest.fixture(scope="module")
def clinic(tmp_path_factory):
    clinic = LiveClinic(tmp_path_factory.mktemp("paced") / "clinic", "paced_patients")
    yield clinic
    clinic.server.stop(kill=True)


@pytest.fixture(scope="module")
def paired(chromium_browser, clinic):
    context = chromium_browser.new_context(has_touch=True, timezone_id="UTC")
    context.add_init_script(path=STUBS)
    context.clock.install(time=NOON)
    phone = Paced(context, clinic, clinic.patient())
    phone.app.open()
    phone.app.pair(phone.owner.code)
    expect(phone.page.locator("main")).to_contain_text(ALL_SENT)
    phone.page.clock.pause_at(NOON + timedelta(hours=1))
    yield phone
    context.close()


@pytest.fixture
def phone(paired):
    """The one phone with a new bout begun; each is left behind without a log."""
    paired.forget_bout()
    paired.begin()
    paired.ran_s = 0
    return paired


def test_the_cue_is_right_after_any_sleep(phone):
    seen = []
    for seconds in (1, 1.5, 9, 8, 9, 29, 34, 3, 3, 2.5, 20):
        phone.sleeps(seconds)
        assert phone.cue() in {cue_at(phone.ran_s), cue_at(phone.ran_s - LATE_MS / 1000)}
        seen.append(phone.cue())
    phone.sleeps(3000)

    assert phone.cue() == "over"
    assert phone.page.get_by_role("alert").count() == 0
    assert {"rising", "on", "rest", "alone", "lift", "lower"} <= set(seen)
    expect(phone.page.get_by_text("Turn your stimulator off.")).to_be_visible()


def test_a_count_left_for_hours_is_done_only_when_the_patient_says_so(phone):
    phone.sleeps(35)
    phone.sleeps(7200)

    expect(phone.page.get_by_text("Has your stimulator done them all?")).to_be_visible()
    assert phone.cue() == "asked"
    expect(phone.page.get_by_role("button", name="I have finished")).to_have_count(0)
    expect(phone.page.get_by_text("Turn your stimulator off.")).to_be_hidden()

    phone.app.tap("No, at 2", "button")
    assert phone.contraction() == "Contraction 2 of 6"
    phone.app.tap("I had to end early", "button")
    expect(phone.page.locator("summary", has_text="Contractions: 1.")).to_be_visible()


def test_a_wall_clock_that_is_set_moves_no_count_and_is_asked_about(phone):
    phone.sleeps(64)
    phone.wall_clock_moves(timedelta(hours=-2))
    assert (phone.cue(), phone.contraction()) == ("on", "Contraction 3 of 6")
    expect(phone.page.get_by_text("its clock was changed")).to_have_count(0)

    phone.wall_clock_moves(timedelta(hours=1))
    assert (phone.cue(), phone.contraction()) == ("on", "Contraction 3 of 6")
    expect(phone.page.get_by_role("button", name="No, all done")).to_be_visible()
    phone.app.tap("Yes, at 3", "button")

    expect(phone.page.get_by_text("its clock was changed")).to_have_count(0)
    phone.sleeps(6)
    assert phone.cue() == cue_at(phone.ran_s)


def test_a_pause_leaves_the_count_and_a_tap_lines_it_up(phone):
    phone.sleeps(34)
    phone.app.tap("Pause", "button")
    phone.page.clock.fast_forward(300_000)
    assert (phone.cue(), phone.contraction()) == ("paused", "Contraction 2 of 6")
    expect(phone.page.get_by_text("Turn your stimulator down or pause it")).to_be_visible()

    phone.app.tap("Go on", "button")
    phone.sleeps(1)
    assert phone.cue() == cue_at(35)
    phone.app.tap("Tap when the current comes on", "button")

    phone.sleeps(0.5)
    assert (phone.cue(), phone.contraction()) == ("rising", "Contraction 2 of 6")


def test_what_was_skipped_and_ended_early_arrives_in_the_log(phone):
    phone.sleeps(35)
    phone.app.tap("Skip this exercise", "button")
    expect(phone.page.locator(".count-exercise")).to_contain_text("Straighten the knee")
    expect(phone.page.get_by_role("button", name="Skip this exercise")).to_have_count(0)
    phone.sleeps(81)
    phone.app.tap("I had to end early", "button")

    summary = phone.page.locator("summary", has_text="Contractions: 4. Minutes: 2.")
    expect(summary).to_be_visible()
    expect(phone.page.get_by_text("Left out: Tighten the thigh.")).to_be_visible()
    phone.app.tap("I was tired")
    phone.page.get_by_role("spinbutton", name="Channel 1").fill("60")
    more = phone.page.get_by_role("button", name="More: Channel 1")
    more.click()
    expect(phone.page.locator("#channel-1")).to_have_value("60")
    expect(phone.page.get_by_text("60 is your limit. Was it more?")).to_be_visible()
    more.click()
    expect(phone.page.locator("#channel-1")).to_have_value("61")
    expect(phone.page.get_by_text("above your limit of 60")).to_be_visible()
    phone.app.log_bout()
    expect(phone.page.locator("h1")).to_contain_text("After")

    bout = next(body(row)["payload"] for row in phone.rows() if row["kind"] == "bout")
    assert (bout["contractions"], bout["minutes"]) == (4, 2)
    assert (bout["ended_early"], bout["exercises"]) == ("tired", ["long_kick"])


def test_each_cue_is_spoken_once_and_heard_unless_switched_off(phone):
    phone.page.evaluate("() => { given.spoken = []; }")
    phone.page.clock.run_for(5_900)
    assert phone.given()["spoken"] == ["On. Contraction 1 of 6."]
    phone.page.clock.run_for(5_000)
    told = phone.given()
    assert told["spoken"][1:] == ["Falling. Contraction 1 of 6.", "Rest. Contraction 1 of 6."]
    assert told["tones"] > 0
    assert told["shakes"] > 0

    phone.app.tap("Turn sound off", "button")
    phone.app.tap("Turn buzzing off", "button")
    quiet = phone.given()
    phone.page.clock.run_for(60_000)
    after = phone.given()
    assert len(after["spoken"]) > len(quiet["spoken"])
    assert (after["tones"], after["shakes"]) == (quiet["tones"], quiet["shakes"])
    phone.restart()
    phone.go(f"#do/{phone.owner.episode}")
    phone.app.tap("Turn sound on", "button")
    phone.app.tap("Turn buzzing on", "button")


def test_the_screen_is_kept_lit_again_and_a_refusal_is_told(phone):
    dark = phone.page.get_by_text("The screen may go dark. The count goes on right.")
    expect(dark).to_be_hidden()
    before = phone.given()["locks"]

    phone.page.evaluate(COMES_BACK, {"answers": False})
    expect(dark).to_be_visible()
    phone.page.evaluate(COMES_BACK, {"answers": True})
    expect(dark).to_be_hidden()

    assert phone.given()["locks"] - before == 2


def test_a_frozen_page_and_a_killed_app_count_on(phone_browser, clinic):
    owner = clinic.patient()
    phone_browser.open()
    phone = Paced(phone_browser.context, clinic, owner).pair()
    phone.begin()
    started = time.time()

    def is_right() -> None:
        phone.page.wait_for_timeout(LATE_MS)
        ran = time.time() - started
        assert phone.cue() in {cue_at(ran + slack) for slack in (-0.6, 0, 0.6)}

    session = phone_browser.context.new_cdp_session(phone.page)
    session.send("Page.setWebLifecycleState", {"state": "frozen"})
    time.sleep(2)
    session.send("Page.setWebLifecycleState", {"state": "active"})
    is_right()

    phone_browser.kill()
    phone_browser.open()
    phone = Paced(phone_browser.context, clinic, owner)
    phone.restart()
    phone.page.get_by_text("Go on with your bout").click()
    expect(phone.count).to_be_visible()
    is_right()
    assert phone_browser.faults == []
