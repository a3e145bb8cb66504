"""Zones, changed clocks and wrong clocks: the day as the patient saw it, and nobody blamed."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import expect

from tests.browser.desk import Desk
from tests.browser.handset import Handset, body, broken_rows, differences

pytestmark = pytest.mark.browser

EVENING = datetime.now(tz=UTC).replace(hour=20, minute=0, second=0, microsecond=0)
ZONES = ["Asia/Kathmandu", "Pacific/Apia", "America/St_Johns"]
BERLIN = ZoneInfo("Europe/Berlin")
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


def next_change(*, forward: bool) -> datetime:
    """The moment at which Berlin's clocks are next put forward, or back."""
    moment = EVENING.replace(minute=0, hour=0) + DAY
    while True:
        before, after = (at.astimezone(BERLIN).utcoffset() for at in (moment - HOUR, moment))
        if before != after and (after > before) == forward:
            return moment
        moment += HOUR


@pytest.fixture
def phone_at(chromium_browser, live_clinic):
    """A paired phone whose clock shows `now` in `zone`."""
    contexts = []

    def paired(now: datetime, zone: str = "UTC") -> Handset:
        context = chromium_browser.new_context(has_touch=True, timezone_id=zone)
        contexts.append(context)
        context.clock.install(time=now)
        return Handset(context, live_clinic, live_clinic.patient()).pair()

    yield paired
    for context in contexts:
        context.close()


@pytest.fixture(scope="module")
def desk(chromium_browser, live_clinic):
    context = chromium_browser.new_context()
    desk = Desk(context.new_page(), live_clinic.url)
    desk.sign_in(live_clinic.login, live_clinic.password)
    yield desk
    context.close()


def log_bout(phone: Handset) -> None:
    phone.go(f"#log/{phone.owner.episode}")
    phone.app.rate("How bad was your knee pain before?", 1)
    phone.app.log_bout()
    expect(phone.page.locator("h1")).to_contain_text("After")


def all_once(phone: Handset) -> None:
    assert broken_rows(phone.rows(), phone.meta()["number"]) == []
    assert differences(phone.rows(), phone.clinic.entries(phone.owner)) == []
    assert phone.clinic.held(phone.owner) == []


@pytest.mark.parametrize("name", ZONES)
def test_a_bout_is_logged_for_the_day_on_the_patients_wall(phone_at, name):
    here = EVENING.astimezone(ZoneInfo(name))
    phone = phone_at(EVENING, name)

    log_bout(phone)
    phone.drained()

    (entry,) = phone.clinic.entries(phone.owner)
    assert entry.for_date == here.date().isoformat()
    assert entry.offset_min == here.utcoffset() / MINUTE
    assert entry.local_time[:13].replace(" ", "T") == here.isoformat()[:13]
    all_once(phone)


@pytest.mark.parametrize("forward", [True, False], ids=["forward", "back"])
def test_a_night_in_which_the_clocks_change_keeps_day_and_order(phone_at, forward):
    change = next_change(forward=forward)
    phone = phone_at(change - 40 * MINUTE, "Europe/Berlin")

    phone.save_note("before the change")
    phone.rests()
    phone.page.clock.fast_forward(50 * 60_000)
    phone.page.wait_for_timeout(1_000)  # it may start anew after so long a sleep
    phone.rests()
    phone.save_note("after the change")
    phone.drained()

    first, second = phone.clinic.entries(phone.owner)
    assert [first.number, second.number] == [1, 2]
    assert [first.offset_min, second.offset_min] == ([60, 120] if forward else [120, 60])
    assert first.for_date == second.for_date == change.astimezone(BERLIN).date().isoformat()
    assert [body(row)["clock_changed"] for row in phone.rows()] == [False, False]
    all_once(phone)


WRONG = {"two years ahead": 730 * DAY, "a day behind": -DAY, "three hours ahead": 3 * HOUR}


@pytest.mark.parametrize("how", WRONG)
def test_a_wrong_clock_is_taken_as_the_patient_saw_it_and_makes_no_day_missed(phone_at, desk, how):
    shown = datetime.now(tz=UTC) + WRONG[how]
    phone = phone_at(shown)
    phone.clinic.paired_days_ago(phone.owner, 20)

    log_bout(phone)
    phone.drained()

    (entry,) = phone.clinic.entries(phone.owner)
    assert entry.for_date == shown.date().isoformat()
    all_once(phone)
    assert missed(desk, phone) == 0


def test_a_right_clock_lets_the_desk_say_missed(phone_at, desk):
    """The control: without it the test above could not fail."""
    phone = phone_at(datetime.now(tz=UTC))
    phone.clinic.paired_days_ago(phone.owner, 20)

    phone.drained()

    assert missed(desk, phone) > 0


def test_a_clock_that_jumps_back_within_a_session_keeps_the_order(phone_at):
    now = datetime.now(tz=UTC)
    phone = phone_at(now)
    phone.save_note("first")

    phone.page.clock.set_system_time(now - 5 * HOUR)
    phone.save_note("second")
    phone.save_note("third")
    phone.drained()

    assert phone.texts() == ["first", "second", "third"]
    assert [body(row)["clock_changed"] for row in phone.rows()] == [False, True, False]
    days = [row.for_date for row in phone.clinic.entries(phone.owner)]
    assert days == [at.date().isoformat() for at in (now, now - 5 * HOUR, now - 5 * HOUR)]
    all_once(phone)


def test_what_was_told_for_a_bout_that_was_not_begun_is_asked_anew_the_next_day(phone_at):
    phone = phone_at(EVENING)
    phone.go("#stop")
    phone.app.tap("Fever")
    phone.go(f"#before/{phone.owner.episode}")
    phone.app.skin_is_the_same()
    phone.app.rate("How bad is your knee pain now?", 1)
    phone.app.tap("Save and go on", "button")
    expect(phone.page.get_by_text("Start the count")).to_be_visible()

    phone.page.clock.set_system_time(EVENING + 12 * HOUR)
    phone.go("#next")

    expect(phone.page.locator("h1")).to_have_text("Next bout")
    expect(phone.page.get_by_text("Go on with your bout")).to_have_count(0)
    for screen, shown in ((f"#resume/{phone.owner.episode}", "Before"), ("#stop", "wrong")):
        phone.go(screen)
        expect(phone.page.locator("h1")).to_contain_text(shown)
        expect(phone.page.locator("main input:checked")).to_have_count(0)


def missed(desk: Desk, phone: Handset) -> int:
    """Days the desk calls missed."""
    desk.patient(phone.owner.patient)
    return desk.page.locator("td.mark.missed").count()
