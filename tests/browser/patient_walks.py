"""Every screen of the patient's app in every state it can be in, reached by taps."""

import json
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.patient_tour import FORENOON, PatientTour, Phone
from tests.support.push_service import Receiver

EDGE = Path(__file__).parent / "push_edge.js"


def walk(tour: PatientTour) -> PatientTour:
    for part in PARTS:
        part(tour)
    return tour


def _not_paired(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.look_and_tab("pair")
        phone.refuse("Pair now")
        phone.look("pair, no code")
        phone.go("#stop", "Something is wrong")
        phone.look("stop, not paired")
        phone.go("#call", "Call")
        phone.look("call, not paired")
        phone.app.open()
        phone.pair("waiting", "Your clinic must now say yes")
        phone.tour.seen.add("pair")
        phone.look("waiting for the clinic")
        phone.page.goto(f"{tour.url}/rescue/")
        phone.page.get_by_text("All entries of this phone").wait_for()
        phone.look("rescue, nothing to send")


def _one_day(tour: PatientTour) -> None:
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


def _reports(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("due", "LEFT")
        phone.context.route("**/api/v1/sync/**", lambda route: route.abort())
        phone.go("#note", "Write to the clinic")
        phone.look_and_tab("note")
        phone.refuse("Save and send")
        phone.look("note, empty")
        phone.page.locator("#text").fill("The pads do not stick.")
        phone.save("Save and send")
        phone.page.locator("a", has_text="Something is wrong").click()
        phone.page.get_by_text("Tap all that fit.").wait_for()
        phone.look_and_tab("stop")
        phone.refuse("Save and see what to do")
        phone.look("stop, nothing told")
        phone.app.tap("Pain in the chest")
        phone.look("stop, emergency")
        phone.save("Save and see what to do")
        phone.page.get_by_text("Do this now").wait_for()
        phone.look("stop told, emergency")
        phone.app.area("Next bout")
        phone.page.get_by_text("No bouts for now").first.wait_for()
        phone.look("next, on hold, unsent")
        phone.app.area("Call")
        phone.page.get_by_text("Whom to call when").wait_for()
        phone.unfold()
        phone.look("call, unsent")
        phone.app.tap("See what is not sent yet")
        phone.page.locator("main ol li").nth(1).wait_for()
        phone.look("not sent yet")
        _settings(phone)
        phone.page.goto(f"{tour.url}/rescue/")
        phone.page.get_by_text("Entries not sent yet: 2").wait_for()
        phone.look("rescue, two to send")


def _settings(phone: Phone) -> None:
    """With two entries unsent: leaving is barred until they were copied, and asks twice."""
    phone.app.area("Call")
    phone.app.tap("Settings", "link")
    phone.page.get_by_text("are kept here.").wait_for()
    phone.look_and_tab("settings")
    phone.app.tap("Strong")
    phone.look("settings, strong contrast")
    phone.page.get_by_role("group", name="How strong").get_by_text("Normal").click()
    phone.app.tap("Leave this phone", "link")
    phone.page.get_by_text("2 entries are not at the clinic yet.").wait_for()
    expect(phone.page.get_by_role("button", name="Leave this phone now")).to_be_disabled()
    phone.look("leave, unsent")
    phone.save("Save a copy of unsent entries")
    phone.save("Leave this phone now")
    phone.page.get_by_text("Do you want to leave?").wait_for()
    phone.look("leave, asked twice")
    phone.app.tap("No, stay", "link")
    phone.page.get_by_text("are kept here.").wait_for()


def _morning(tour: PatientTour) -> None:
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
        phone.app.tap("Some swelling")
        phone.app.skin_is_the_same()
        phone.save("Save the morning check")
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


def _two_legs(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("two", "Which leg now?")
        phone.look("next, which leg")
        left, right = phone.legs()
        phone.go(right, "Next bout")
        phone.page.get_by_text("No bout today").wait_for()
        phone.look("next, rest day, right leg")
        phone.go("#stop", "Something is wrong")
        phone.look("stop, which leg")
        phone.go(left.replace("#next", "#log"), "Log")
        phone.app.rate("How bad was your knee pain before?", 1)
        phone.look("log, told afterwards")
        phone.app.log_bout()
        phone.page.locator("h1", has_text="After").wait_for()
        phone.app.check_skin_after()
        phone.page.locator("h1", has_text="Which leg now?").wait_for()
        phone.go(left, "Next bout")
        phone.page.get_by_text("Give your leg a rest").wait_for()
        phone.look("next, later today")


def _paused(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("paused", "Which leg now?")
        paused, due = phone.legs()
        phone.go(paused, "Next bout")
        phone.page.get_by_text("Your clinic has paused your bouts").wait_for()
        phone.look("next, paused")
        phone.go(due.replace("#next", "#before"), "Before")
        phone.app.tap("Something is different")
        for number in (1, 2):
            phone.app.skin_of(number, colour="Clearly different", pattern="In patches")
        phone.app.rate("How bad is your knee pain now?", 1)
        phone.save("Save and go on")
        phone.page.locator("h1", has_text="Your skin").wait_for()
        phone.look("told, rest the spot")
        phone.go(due, "Next bout")
        phone.page.get_by_text("There was a mark on your skin").wait_for()
        phone.look("next, excused")


def _ended(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("ended", "Which leg now?")
        ended, coming = phone.legs()
        phone.go(ended, "Next bout")
        phone.page.get_by_text("This home program has ended").wait_for()
        phone.look("next, ended")
        phone.go(coming, "Next bout")
        phone.page.get_by_text("Your home program starts on").wait_for()
        phone.look("next, starts tomorrow")


def _held(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("held", "No bouts for now")
        phone.look_and_tab("next, on hold")
        phone.go("#release", "A code from your clinic")
        phone.refuse("Use the code")
        phone.look_and_tab("code from the clinic")
        phone.app.area("So far")
        phone.page.locator("h1", has_text="So far").wait_for()
        phone.unfold()
        phone.look("so far, three weeks")
        phone.app.area("Call")
        phone.page.get_by_text("Whom to call when").wait_for()
        phone.look_and_tab("call")
        phone.app.tap("Settings")
        phone.page.locator("h1", has_text="Settings").wait_for()
        phone.look_and_tab("settings")
        phone.app.tap("Leave this phone")
        phone.save("Leave this phone now")
        phone.page.get_by_text("Do you want to leave?").wait_for()
        phone.look("leave this phone, sure?")


def _broken(tour: PatientTour) -> None:
    """When the app itself fails; its error is meant to be logged, so nobody listens."""
    broken = "indexedDB.open = () => { throw new Error('broken'); };"
    phone = Phone(tour)
    phone.app.open()
    phone.page.locator("#code").wait_for()
    phone.pair("due", "LEFT")
    phone.page.add_init_script(broken)
    phone.app.open()
    phone.page.get_by_text("This app has a problem").first.wait_for()
    phone.look("trouble")
    phone.context.close()
    phone = Phone(tour)
    phone.page.add_init_script(broken)
    phone.app.open()
    phone.page.get_by_text("No log can be kept here").first.wait_for()
    phone.look("nothing can be kept")
    phone.context.close()


PARTS = (
    _not_paired,
    _one_day,
    _reports,
    _morning,
    _two_legs,
    _paused,
    _ended,
    _held,
    _broken,
)


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
        phone.page.clock.install()
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
