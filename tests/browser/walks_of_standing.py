"""The screens of a phone or a program that stands otherwise: not paired, resting, held, broken."""

from tests.browser.patient_tour import PatientTour, Phone


def not_paired(tour: PatientTour) -> None:
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


def two_legs(tour: PatientTour) -> None:
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


def paused(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("paused", "Which leg now?")
        resting, due = phone.legs()
        phone.go(resting, "Next bout")
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


def ended(tour: PatientTour) -> None:
    with tour.phone() as phone:
        phone.pair("ended", "Which leg now?")
        over, coming = phone.legs()
        phone.go(over, "Next bout")
        phone.page.get_by_text("This home program has ended").wait_for()
        phone.look("next, ended")
        phone.go(coming, "Next bout")
        phone.page.get_by_text("Your home program starts on").wait_for()
        phone.look("next, starts tomorrow")


def held(tour: PatientTour) -> None:
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


def broken(tour: PatientTour) -> None:
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
