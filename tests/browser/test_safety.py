"""Something changed, a hold, and a clinician's code for a phone without a network."""

import pytest
from playwright.sync_api import expect

from tests.browser.desk import Desk
from tests.browser.handset import Handset

pytestmark = pytest.mark.browser


@pytest.fixture
def phone(handset) -> Handset:
    return handset()


@pytest.fixture
def desk(chromium_browser, live_clinic):
    context = chromium_browser.new_context(viewport={"width": 1280, "height": 800})
    context.set_default_timeout(20_000)
    desk = Desk(context.new_page(), live_clinic.url)
    desk.sign_in(live_clinic.login, live_clinic.password)
    yield desk
    context.close()


TRIES = "count => inside.meta().then((meta) => meta.release_tries?.count === count)"


def type_code(phone: Handset, code: str) -> None:
    phone.page.locator("#release-code").fill(code)
    phone.tap_save("Use the code")


def test_an_implant_holds_all_bouts_until_the_clinics_code_is_typed(phone, desk):
    phone.go("#changed")
    phone.app.tap("An implant, like a pacemaker")
    phone.tap_save()
    phone.app.expect_words("No bouts until your clinic says so.", "Nobody may have read this yet.")
    phone.drained()
    phone.context.set_offline(offline=True)

    page = desk.patient(phone.owner.patient)
    assert "Something changed" in page
    assert "pregnancy or an implant told" in page
    assert "Code for the phone" not in page
    desk.page.locator("#flags").get_by_role("link", name="Screen the LEFT leg again").click()
    assert desk.page.locator("select[name=occasion]").input_value() == "change_told"
    desk.patient(phone.owner.patient)
    desk.page.locator("#holds summary", has_text="Lift this hold").click()
    desk.page.get_by_label("Why the hold may be lifted").fill("Screened again: a hip implant.")
    desk.page.get_by_role("button", name="Lift").click()
    code = desk.page.locator(".release-code").inner_text()

    phone.app.area("Next bout")
    phone.app.expect_words("No bouts for now")
    phone.app.tap("I have a code from my clinic")
    wrong = f"{code[:-1]}{(int(code[-1]) + 1) % 10}"
    type_code(phone, wrong)
    expect(phone.page.locator(".fault-list")).to_contain_text("This code does not fit.")
    type_code(phone, code)
    phone.expect_told("Your clinic has ended this stop.")
    expect(phone.page.get_by_role("link", name="Start bout 1")).to_be_visible()
    phone.restart()
    expect(phone.page.get_by_role("link", name="Start bout 1")).to_be_visible()

    phone.context.set_offline(offline=False)
    phone.drained()
    assert "Code for the phone" not in desk.patient(phone.owner.patient)
    phone.app.area("Next bout")
    expect(phone.page.get_by_role("link", name="Start bout 1")).to_be_visible()


def test_after_five_wrong_codes_the_phone_waits(phone):
    phone.go("#stop")
    phone.app.tap("Numb leg or foot")
    phone.tap_save("Save and see what to do")
    phone.app.expect_words("Nobody may have read this yet.")
    phone.drained()
    phone.go("#release")
    for count in range(1, 6):
        type_code(phone, "0000 0000")
        phone.page.wait_for_function(TRIES, arg=count % 5)  # a tap meanwhile would be none
        expect(phone.page.locator(".fault-list")).to_be_visible()

    type_code(phone, "0000 0000")

    expect(phone.page.locator(".fault-list")).to_contain_text("Wait 15 minutes.")


def test_a_note_says_on_which_day_it_was_read(phone, desk):
    phone.save_note("The stairs go better.")
    phone.drained()
    phone.go("#note")
    phone.app.expect_words("Not read yet")

    desk.patient(phone.owner.patient)
    desk.page.get_by_role("button", name="Mark as read").click()
    assert "Read by Ro Desk" in desk.page.locator("main").inner_text()

    phone.drained()
    phone.app.tap("Send and fetch now", "button")
    phone.go(f"#entry/{phone.rows()[-1]['id']}")  # drawn anew when the round ends
    phone.app.expect_words("Your clinic read it on")


def test_a_hold_that_comes_while_a_bout_is_counted_stands_over_the_count_at_once(phone):
    phone.app.tap("Start bout 1")
    phone.app.skip_lesson()
    phone.app.skin_is_the_same()
    phone.app.rate("How bad is your knee pain now?", 1)
    phone.app.tap("Save and go on", "button")
    phone.app.tap("Start the count", "button")
    expect(phone.page.locator(".count")).to_have_attribute("data-cue", "rising")
    elsewhere = phone.tab()
    elsewhere.go("#stop")
    elsewhere.app.tap("Numb leg or foot")
    elsewhere.tap_save("Save and see what to do")
    elsewhere.app.expect_words("Nobody may have read this yet.")

    alarm = phone.page.get_by_role("alert")
    expect(alarm).to_contain_text("Stop this bout")
    expect(alarm).to_contain_text("This phone cannot do it for you.")
    expect(phone.page.locator(".count")).to_have_attribute("data-cue", "paused")
    expect(phone.page.get_by_role("button", name="Go on")).to_have_count(0)

    phone.app.tap("It is off: log this bout", "button")
    expect(phone.page.locator("h1")).to_contain_text("Log")
    expect(phone.page.locator("#ended_early")).to_be_visible()


def say_that_it_itches(phone: Handset) -> None:
    phone.app.tap("Start bout 1")
    phone.app.skip_lesson()
    phone.app.tap("Something is different")
    phone.app.skin_of(1, itchy="Yes")
    phone.app.skin_of(2)
    phone.app.rate("How bad is your knee pain now?", 1)
    phone.app.tap("Save and go on", "button")
    phone.app.expect_words("Leave this spot in peace.", "Not sure? Call your clinic")


def test_skin_that_itches_before_a_bout_is_answered_before_the_patient_goes_on(phone):
    say_that_it_itches(phone)

    phone.app.tap("Go on to the bout", "button")

    expect(phone.page.get_by_role("button", name="Start the count")).to_be_visible()
    phone.restart()
    expect(phone.page.get_by_role("link", name="Start bout 1")).to_have_count(0)


def test_skin_that_itches_before_a_bout_may_end_it_there(phone):
    say_that_it_itches(phone)

    phone.app.tap("Not now", "button")

    phone.app.tap("My skin")
    phone.tap_save("Save")
    phone.app.expect_words("That is all for today")


KNEE_WORDS = "Call the clinic first and say how your knee is."


def say_that_the_knee_is_bad(phone: Handset) -> None:
    phone.app.tap("Start bout 1")
    phone.app.skip_lesson()
    phone.app.skin_is_the_same()
    phone.app.rate("How bad is your knee pain now?", 7)
    phone.app.tap("Save and go on", "button")
    phone.app.expect_words("Your knee", KNEE_WORDS)


def test_a_knee_that_is_bad_before_a_bout_is_answered_before_the_patient_goes_on(phone):
    say_that_the_knee_is_bad(phone)
    expect(phone.page.get_by_role("link", name="Call the clinic")).to_be_visible()

    phone.app.tap("Go on to the bout", "button")

    expect(phone.page.get_by_role("button", name="Start the count")).to_be_visible()


def test_a_knee_that_is_bad_before_a_bout_may_end_it_there(phone):
    say_that_the_knee_is_bad(phone)

    phone.app.tap("Not now", "button")

    phone.app.tap("Knee pain")
    phone.tap_save("Save")
    phone.app.expect_words("That is all for today")


def log_with_a_bad_knee(phone: Handset) -> None:
    phone.page.get_by_role("spinbutton", name="Channel 1").fill("40")
    phone.app.rate("How much discomfort came from the current?", 3)
    phone.page.locator("#knee_pain_after label").nth(7).click()
    phone.app.tap("Save the bout", "button")


def test_a_knee_that_is_bad_after_a_bout_is_answered_after_its_skin_check(phone):
    phone.app.go_to_log()
    log_with_a_bad_knee(phone)

    phone.app.check_skin_after()

    phone.app.expect_words("Your knee", KNEE_WORDS)
    expect(phone.page.get_by_role("link", name="Call the clinic")).to_be_visible()


def test_a_bad_knee_is_answered_when_the_bout_of_yesterday_is_told(phone):
    yesterday = phone.page.evaluate("() => new Date(Date.now() - 864e5).toISOString()")[:10]
    phone.go(f"#log/{phone.owner.episode}/{yesterday}")
    phone.page.locator("#knee_pain_before label").nth(2).click()

    log_with_a_bad_knee(phone)

    phone.app.expect_words("Your knee", KNEE_WORDS)


def test_a_bad_knee_is_answered_beside_skin_that_stops_the_bout(phone):
    phone.app.tap("Start bout 1")
    phone.app.skip_lesson()
    phone.app.tap("Something is different")
    phone.app.skin_of(1, raised="Yes")
    phone.app.skin_of(2)
    phone.app.rate("How bad is your knee pain now?", 7)

    phone.app.tap("Save and go on", "button")

    phone.app.expect_words("Your skin", KNEE_WORDS)
    expect(phone.page.get_by_role("button", name="Go on to the bout")).to_have_count(0)
    expect(phone.page.get_by_role("link", name="Call the clinic")).to_be_visible()
