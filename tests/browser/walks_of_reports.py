"""The screens of what a patient tells the clinic, and of a phone that is left with it unsent."""

from playwright.sync_api import expect

from tests.browser.patient_tour import PatientTour, Phone


def reports(tour: PatientTour) -> None:
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
