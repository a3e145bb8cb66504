"""What Back, a stop, a night and midnight do to a bout: nothing is lost, nothing is told twice."""

import re
import time
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import expect

from tests.browser.handset import Handset, body
from tests.browser.test_paced_bout import COUNTED, NOON

pytestmark = pytest.mark.browser

MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)


class Walker(Handset):
    """A phone whose hand goes to and fro."""

    def passes(self, by: timedelta) -> None:
        self.rests()
        self.page.clock.fast_forward(round(by.total_seconds() * 1000))
        self.page.wait_for_timeout(300)  # it may start anew after a long sleep
        self.rests()

    def look_before(self) -> None:
        self.go(f"#before/{self.owner.episode}")
        self.app.skin_is_the_same()
        self.app.rate("How bad is your knee pain now?", 1)
        self.app.tap("Save and go on", "button")

    def start_count(self) -> None:
        self.app.tap("Start the count", "button")
        # A jump of the clock would also end the wait for a database that is just answering.
        while not self.page.evaluate(COUNTED, f"bout:{self.owner.episode}"):
            time.sleep(0.05)

    def report_fever(self) -> None:
        self.app.tap("Fever")
        self.app.tap("Save and see what to do", "button")
        expect(self.page.locator("h1")).not_to_contain_text("wrong")

    def says(self, contractions: int, minutes: int) -> None:
        words = f"Contractions: {contractions}. Minutes: {minutes}."
        expect(self.page.locator("summary", has_text=words)).to_be_visible()

    def stands_at(self, heading: str) -> None:
        expect(self.page.locator("h1")).to_contain_text(heading)

    def bouts(self) -> list[dict]:
        return [body(row) for row in self.rows() if row["kind"] == "bout"]


@pytest.fixture
def phone_at(chromium_browser, live_clinic):
    contexts = []

    def paired(now: datetime) -> Walker:
        context = chromium_browser.new_context(has_touch=True, timezone_id="UTC")
        contexts.append(context)
        context.clock.install(time=now)
        phone = Walker(context, live_clinic, live_clinic.patient()).pair()
        phone.rests()
        return phone

    yield paired
    for context in contexts:
        context.close()


def test_back_leads_out_of_a_bout_and_never_into_a_saved_form(phone_at):
    phone = phone_at(NOON)
    phone.app.tap("Start bout 1")
    phone.app.skip_lesson()
    phone.app.skin_is_the_same()
    phone.app.rate("How bad is your knee pain now?", 1)
    phone.app.tap("Save and go on", "button")
    phone.start_count()
    phone.page.go_back()
    phone.stands_at("Next bout")

    phone.app.tap("Go on with your bout")
    phone.passes(3 * MINUTE)
    phone.app.tap("I had to end early", "button")
    phone.says(3, 3)
    phone.app.rate("How much discomfort came from the current?", 4)
    phone.page.get_by_role("spinbutton", name="Channel 1").fill("33")
    phone.page.go_back()
    phone.stands_at("Next bout")
    phone.passes(5 * MINUTE)
    phone.go(f"#do/{phone.owner.episode}")
    phone.says(3, 3)
    expect(phone.page.get_by_role("spinbutton", name="Channel 1")).to_have_value("33")
    asked = phone.page.get_by_role("group", name="How much discomfort came from the current?")
    expect(asked.get_by_role("radio", name="4", exact=True)).to_be_checked()

    phone.app.tap("I was tired")
    phone.app.log_bout()
    phone.stands_at("After")
    phone.page.go_back()
    phone.stands_at("Next bout")
    phone.app.tap("Check your skin now")
    phone.app.check_skin_after()
    phone.stands_at("Next bout")
    expect(phone.page.get_by_text("That is all for today")).to_be_visible()

    phone.app.tap("Log a bout you did")
    expect(phone.page.get_by_text("The bouts of that day are logged already.")).to_be_visible()
    assert len(phone.bouts()) == 1


def test_what_ran_until_a_stop_is_logged_under_its_hold(phone_at):
    phone = phone_at(NOON)
    phone.look_before()
    phone.start_count()
    phone.passes(4 * MINUTE)
    phone.app.tap("Something is wrong")
    phone.stands_at("wrong")
    phone.passes(5 * MINUTE)
    phone.report_fever()
    phone.passes(20 * MINUTE)
    phone.app.area("Next bout")

    phone.app.tap("Log that bout")
    phone.says(4, 4)
    phone.app.tap("Knee pain")
    phone.app.log_bout()
    phone.stands_at("After")

    (bout,) = phone.bouts()
    told = [bout["payload"][name] for name in ("contractions", "minutes", "ended_early")]
    assert told == [4, 4, "pain"]


def test_a_bout_of_a_former_day_is_logged_for_its_day_or_dropped_by_its_patient(phone_at):
    phone = phone_at(NOON)
    phone.look_before()
    phone.start_count()
    phone.passes(2 * MINUTE)
    phone.app.area("So far")
    phone.stands_at("So far")
    phone.passes(DAY)
    phone.app.area("Next bout")
    expect(phone.page.get_by_text("Go on with your bout")).to_have_count(0)

    phone.app.tap("Log that bout")
    phone.says(2, 2)
    phone.app.tap("Do not log this bout")
    expect(phone.page.get_by_text("Then what was counted is gone.")).to_be_visible()
    phone.page.go_back()
    phone.app.tap("Log that bout")
    phone.app.tap("I was tired")
    phone.app.log_bout()

    phone.stands_at("Next bout")
    expect(phone.page.get_by_text("Log that bout")).to_have_count(0)
    (bout,) = phone.bouts()
    assert bout["for_date"] == NOON.date().isoformat()
    assert re.match(bout["for_date"] + "T12:0", bout["payload"]["started_at"])


def test_a_bout_over_midnight_keeps_its_minute_its_day_and_its_skin_check(phone_at):
    day = NOON.date()
    phone = phone_at(NOON.replace(hour=23, minute=57))
    phone.look_before()
    phone.passes(6 * MINUTE)
    phone.start_count()
    phone.passes(15 * MINUTE)
    phone.app.tap("I have finished", "button")
    phone.says(15, 15)
    phone.app.tap("Change")
    start = phone.page.get_by_label("When did you start?")
    said = start.input_value()
    start.fill("11:00")
    phone.app.log_bout()
    expect(phone.page.locator(".fault-list")).to_contain_text("That time is still to come.")
    start.fill(said)
    phone.app.tap("Save the bout", "button")
    phone.app.check_skin_after()
    phone.stands_at("Next bout")
    phone.drained()

    (bout,) = phone.bouts()
    assert said.startswith("00:0")
    assert bout["for_date"] == day.isoformat()
    assert bout["payload"]["started_at"] == f"{day + DAY}T{said}"
    assert phone.clinic.held(phone.owner) == []
