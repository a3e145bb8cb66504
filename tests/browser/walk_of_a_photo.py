"""The screens of a photo of the skin: offered, taken, looked at, kept, removed."""

from playwright.sync_api import expect

from tests.browser.patient_tour import PatientTour, Phone
from tests.support.photos import jpeg

TAKEN = {"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": jpeg(320, 240)}


def photographed(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("photo", "LEFT")
        phone.context.route("**/api/v1/photos/**", lambda route: route.abort())
        phone.app.go_to_log()
        phone.app.log_bout()
        phone.app.tap("Something is different")
        for number in (1, 2):
            phone.app.skin_of(number, colour="A little different", pattern="Even")
        phone.save("Save the skin check")
        phone.page.get_by_text("Add a photo of the skin").wait_for()
        phone.look("told, a photo may be added")
        phone.app.tap("Add a photo of the skin", "link")
        phone.page.locator("h1", has_text="Photo of your skin").wait_for()
        phone.look_and_tab("photo")
        phone.page.locator("input[type=file]").set_input_files(TAKEN)
        phone.page.get_by_text("Can you see the mark well?").wait_for()
        phone.look_and_tab("photo, taken")
        phone.save("Keep this photo")
        expect(phone.page.locator(".photos")).to_contain_text("Waits on this phone.")
        phone.look_and_tab("photo, kept")
        _elsewhere(phone)


def _elsewhere(phone: Phone) -> None:
    """Told in the settings and before the phone is left; removed by two taps."""
    phone.app.area("Call")
    phone.app.tap("Settings", "link")
    phone.page.get_by_text("1 photo waits here to be sent.").wait_for()
    phone.look("settings, a photo waits")
    phone.app.tap("Leave this phone", "link")
    phone.page.get_by_text("If you leave, it is lost.").wait_for()
    phone.look("leave, a photo waits")
    phone.go("#photos", "Photos on this phone")
    phone.save("Remove photo 1")
    phone.page.get_by_text("Remove photo 1 for good?").wait_for()
    phone.look_and_tab("photos, remove?")
    phone.app.tap("Yes, remove it")
    phone.page.locator(".photos li, main .lead:visible").first.wait_for()
    phone.look("photos, removed")
