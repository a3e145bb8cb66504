"""The screens of a day with a bout, of the morning after it, and the taps a bout takes."""

import json
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.patient_tour import FORENOON, PatientTour, Phone
from tests.support.push_service import Receiver

EDGE = Path(__file__).parent / "push_edge.js"


def one_day(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("due", "LEFT")
        phone.look_and_tab("next, bout due")
        episode = phone.episode()
        phone.go(f"#not-done/{episode}", "Not done")
        phone.refuse("Save")
        phone.look("not done, no reason")
        _lesson(phone, episode)
        _bout(phone, episode)
        _after(phone)
        _so_far(phone)


def _lesson(phone: Phone, episode: str) -> None:
    phone.app.area("Next bout")
    phone.app.tap("Start bout 1")
    phone.page.get_by_text("Skip this for now").wait_for()
    phone.look_and_tab("lesson")
    phone.go(f"#lesson/{episode}/5", "How it works: 5 of 6")
    phone.app.tap("I finish the bout")
    phone.page.get_by_text("Not quite.").wait_for()
    phone.look("lesson, a wrong answer")
    phone.app.tap("Go on")
    phone.save("To your bout")
    phone.page.locator("h1", has_text="Before").wait_for()
    phone.app.area("Next bout")
    phone.app.tap("Start bout 1")
    phone.page.locator("h1", has_text="Before").wait_for()  # the lesson comes once


def _bout(phone: Phone, episode: str) -> None:
    phone.look("before")
    phone.refuse("Save and go on")
    phone.look_and_tab("before, nothing said")
    phone.app.tap("Something is different")
    phone.look("before, skin differs")
    phone.app.skin_is_the_same()
    phone.app.rate("How bad is your knee pain now?", 1)
    expect(phone.page.locator(".fault:visible")).to_have_count(0)  # answered: no longer wrong
    phone.save("Save and go on")
    phone.page.get_by_text("I did it without the count").wait_for()
    phone.look_and_tab("do")
    phone.save("Start the count")
    phone.look("do, counting")
    phone.save("Pause")
    phone.look("do, paused")
    phone.app.area("Next bout")
    phone.page.get_by_text("Go on with your bout").wait_for()
    phone.look("next, bout begun")
    phone.page.get_by_text("Go on with your bout").click()
    phone.save("I had to end early")
    phone.page.get_by_text("Why did you end early?").wait_for()
    phone.app.area("Next bout")
    phone.page.get_by_text("Log that bout").wait_for()
    phone.look("next, bout to log")
    phone.app.tap("Log that bout")
    phone.page.get_by_text("Why did you end early?").wait_for()
    phone.unfold()
    phone.look("log, ended early, all open")
    phone.refuse("Save the bout")
    phone.look_and_tab("log, nothing said")
    phone.app.tap("I was tired")
    phone.app.log_bout()


def _after(phone: Phone) -> None:
    phone.page.locator("h1", has_text="After").wait_for()
    phone.look("after")
    phone.app.area("Next bout")
    phone.page.get_by_text("Check your skin now").wait_for()
    phone.look("next, skin check due")
    phone.page.get_by_text("Check your skin now").click()
    phone.app.tap("Something is different")
    phone.refuse("Save the skin check")
    phone.look("after, pads not told")
    for number in (1, 2):
        phone.app.skin_of(number, colour="A little different", pattern="Even")
    phone.save("Save the skin check")
    phone.page.locator("h1", has_text="Your skin").wait_for()
    phone.look("told, a slight change")
    phone.app.tap("OK")
    phone.page.get_by_text("0 of 1 done today").wait_for()  # it ended early
    phone.page.get_by_text("That is all for today").wait_for()
    phone.look("next, told")
    phone.app.tap("Log a bout you did")
    phone.page.get_by_text("logged already").wait_for()
    phone.look("log, logged already")


def _so_far(phone: Phone) -> None:
    phone.app.area("So far")
    phone.page.locator("h1", has_text="So far").wait_for()
    phone.unfold()
    phone.look_and_tab("so far")
    phone.page.locator("a.entry", has_text="Bout").first.click()
    phone.page.get_by_text("Change this entry").wait_for()
    phone.look("entry")
    phone.app.tap("Take this entry back")
    phone.page.locator("h1", has_text="Take it back?").wait_for()
    phone.look("take back")
    phone.page.go_back()
    phone.app.tap("Change this entry")
    phone.page.locator("h1", has_text="Change").wait_for()
    phone.unfold()
    phone.look("change")
    phone.refuse("Save the change")
    phone.look("change, no reason")
    phone.app.tap("A wrong number")
    phone.save("Save the change")
    phone.page.get_by_text("As first told").wait_for()
    phone.look("entry, changed")


def left_over(tour: PatientTour) -> None:
    """A bout with a bad knee, begun on one day and looked at again on the next."""
    with tour.phone() as phone:
        phone.page.clock.install()
        phone.pair("left over", "LEFT")
        phone.app.tap("Start bout 1")
        phone.app.skip_lesson()
        phone.app.skin_is_the_same()
        phone.app.rate("How bad is your knee pain now?", 8)
        phone.save("Save and go on")
        phone.page.get_by_text("Do not start a bout yet.").wait_for()
        phone.look_and_tab("told, a bad knee before a bout")
        phone.save("Go on to the bout")
        phone.save("Start the count")
        phone.page.get_by_role("button", name="Pause").wait_for()
        phone.app.area("So far")
        phone.page.locator("h1", has_text="So far").wait_for()
        phone.page.clock.fast_forward("24:00:00")
        phone.app.area("Next bout")
        phone.app.tap("Log that bout")
        phone.page.get_by_text("Do not log this bout").wait_for()
        phone.look("log, of a former day")
        phone.app.tap("Do not log this bout")
        phone.page.get_by_text("Then what was counted is gone.").wait_for()
        phone.look_and_tab("log, dropped for sure?")


def morning(tour: PatientTour) -> None:
    with tour.phone(FORENOON) as phone:
        phone.pair("morning", "First, how is it this morning?")
        phone.look("next, morning check due")
        episode = phone.episode()
        phone.app.tap("Do the morning check")
        phone.page.locator("h1", has_text="Morning").wait_for()
        phone.look("morning")
        phone.refuse("Save the morning check")
        phone.look_and_tab("morning, nothing said")
        phone.app.rate("How bad is your knee pain now?", 2)
        phone.app.tap("Much swelling")
        phone.app.skin_is_the_same()
        phone.save("Save the morning check")
        phone.page.get_by_text("Do not start a bout yet.").wait_for()
        phone.look("told, a bad knee")
        phone.app.tap("Back to next bout")
        phone.page.get_by_text("Bout 1 is next").wait_for()
        phone.go(f"#not-done/{episode}", "Not done")
        phone.app.tap("Swelling")
        phone.save("Save")
        phone.page.get_by_text("That is all for today").wait_for()
        phone.look("next, all told")
        _pads(phone, episode)
        _something_changed(phone)
        _reminders(phone)


# The quick browser denies notices whatever it is told, and has no worker on this tour.
ASKABLE = """() => {
    let answer = "denied";
    Object.defineProperty(Notification, "permission", { get: () => answer });
    Notification.requestPermission = async () => (answer = "granted");
    navigator.serviceWorker.getRegistration = async () => ({ pushManager: PushManager.prototype });
    globalThis.testSubscription = SUBSCRIPTION;
    globalThis.testAnswer = (given) => { answer = given; };
    EDGE
}"""


def _reminders(phone: Phone) -> None:
    phone.go("#reminders", "Reminders")
    phone.look_and_tab("reminders, not allowed")
    told = json.dumps(Receiver().subscription())
    edge = EDGE.read_text()
    phone.page.evaluate(ASKABLE.replace("SUBSCRIPTION", told).replace("EDGE", edge))
    phone.page.evaluate("() => testAnswer('default')")
    phone.go("#next", "Next bout")
    phone.page.get_by_text("Would a reminder help you?").wait_for()
    phone.look_and_tab("next, a reminder offered")
    phone.app.tap("How it works")
    phone.page.get_by_text("Turn reminders on").wait_for()
    phone.look_and_tab("reminders, off")
    phone.app.tap("Turn reminders on")
    phone.page.get_by_text("Reminders are on for this phone.").wait_for()
    phone.look("reminders, on")
    phone.app.tap("Days in your own calendar", "link")
    phone.page.locator("h1", has_text="Days in your own calendar").wait_for()
    phone.look_and_tab("calendar")


def _pads(phone: Phone, episode: str) -> None:
    phone.go(f"#pads/{episode}", "Pads: LEFT leg")
    phone.look_and_tab("pads")
    phone.save("They do not stick")
    phone.page.locator("h1", has_text="When pads do not stick").wait_for()
    phone.look("pads, advice")


def _something_changed(phone: Phone) -> None:
    phone.go("#changed", "Something changed")
    phone.refuse("Save and send")
    phone.look("changed, nothing told")
    phone.app.tap("A new medicine")
    phone.save("Save and send")
    phone.page.get_by_text("You can go on with your bouts").wait_for()
    phone.look("changed, told")


BOUT_MS, SETTLED_MS = 15 * 60_000, 1_000
COUNT_TAPS = """
globalThis.taps = 0;
addEventListener("pointerdown", () => { taps += 1; }, true);
"""


def a_normal_bout(tour: PatientTour) -> dict[str, int]:
    """Taps for a bout like the last one: all of them, and those after its end."""
    with tour.phone() as phone:
        phone.pair("taps", "Bout 1 is next")
        phone.page.evaluate(COUNT_TAPS)
        phone.app.tap("Start bout 1")
        phone.app.skin_is_the_same()
        phone.app.rate("How bad is your knee pain now?", 1)
        phone.save("Save and go on")
        phone.page.get_by_role("button", name="Start the count").wait_for()
        phone.page.wait_for_timeout(SETTLED_MS)
        phone.page.clock.install()  # a write under way would never end: its timer is another's
        phone.save("Start the count")
        # A jump would also end the wait for a database that is just answering.
        phone.page.wait_for_timeout(SETTLED_MS)
        phone.page.clock.fast_forward(BOUT_MS)
        phone.page.get_by_text("All done", exact=True).wait_for()
        before = phone.page.evaluate("() => taps")
        phone.save("I have finished")
        phone.page.get_by_text("Same as last time").click()
        phone.app.rate("How much discomfort came from the current?", 3)
        phone.app.rate("How bad is your knee pain now?", 2)
        phone.save("Save the bout")
        phone.app.check_skin_after()
        phone.page.get_by_text("1 of 1 done today").wait_for()
        taken = phone.page.evaluate("() => taps")
    return {"log": taken - before, "all": taken}
