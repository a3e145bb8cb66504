"""Two weeks of a patient's life: the desk shows exactly what happened, day by day.

Both clocks travel together. Days without a phone, days without a network, a rash, a
lifted hold, a trip across zones, an update and a new phone.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE, Browser
from tests.browser.desk import Desk
from tests.browser.handset import SAVED, Handset
from tests.browser.live_clinic import LiveClinic
from tests.browser.test_updates import ANOTHER_BUILD, BUILD, Releases, hear_of_it

pytestmark = pytest.mark.browser

EVENING = datetime.now(tz=UTC).replace(hour=18, minute=0, second=0, microsecond=0)
DAYS = 14
NEW_YORK = "America/New_York"


class Life:
    """One patient with a phone, one clinician at the desk, and the days that go by."""

    def __init__(self, playwright, chromium_browser, folder) -> None:
        self.playwright, self.folder, self.day = playwright, folder, 0
        self.clinic = LiveClinic(
            folder / "clinic", "beginner", DJANGO_SETTINGS_MODULE="tests.browser.travelled"
        )
        self.releases = Releases(self.clinic, "tests.browser.travelled_next")
        self.owner = self.clinic.patient()
        self.chromium = chromium_browser
        self.browser, self.phone = None, None
        self.done: list[tuple[str, str]] = []  # day and kind of every entry that was saved
        self.take("first phone")

    def take(self, profile: str) -> None:
        """Into the hand: this phone from now on."""
        self.put_away()
        self.profile = self.folder / profile

    def morning(self, day: int) -> None:
        """Night, and the app is gone from the phone's memory."""
        self.put_away()
        self.day = day
        ahead = EVENING + timedelta(days=day) - datetime.now(tz=UTC)
        (self.clinic.server.folder / "ahead").write_text(str(ahead.total_seconds()))

    @property
    def date(self) -> str:
        return (EVENING + timedelta(days=self.day)).date().isoformat()

    def open(self, *, zone: str = "UTC", offline: bool = False) -> Handset:
        options = {"has_touch": True, "timezone_id": zone}
        self.browser = Browser(self.playwright, self.profile, viewport=PHONE, **options)
        self.browser.open()
        self.browser.context.clock.install(time=EVENING + timedelta(days=self.day))
        self.phone = Handset(self.browser.context, self.clinic, self.owner)
        if (self.profile / "paired").exists():
            self.browser.context.set_offline(offline)
            self.phone.restart()
        return self.phone

    def pair(self, code: str) -> None:
        self.open()
        self.phone.owner = replace(self.owner, code=code)
        self.phone.pair()
        (self.profile / "paired").touch()

    def put_away(self) -> None:
        if self.browser:
            assert self.browser.faults == []
            self.browser.close()
        self.browser = None

    def logs(self, *, sent: bool = True) -> None:
        """A normal day: skin, bout, skin."""
        self.phone.app.full_day()
        expect(self.phone.page.locator("main")).to_contain_text("1 of 1 done today")
        self.done += [(self.date, kind) for kind in ("skin_check", "bout", "skin_check")]
        if sent:
            self.phone.drained()

    def desk(self) -> Desk:
        context = self.chromium.new_context()
        desk = Desk(context.new_page(), self.clinic.url)
        desk.sign_in(self.clinic.login, self.clinic.password)
        return desk

    def boxes(self, desk: Desk) -> dict[str, str]:
        """The word of each day on the patient's page."""
        desk.patient(self.owner.patient)
        rows = desk.page.locator(".weeks td .what").all_inner_texts()
        first = self._monday()
        days = [(first + timedelta(days=n)).isoformat() for n in range(len(rows))]
        return dict(zip(days, rows, strict=True))

    def _monday(self):
        today = (EVENING + timedelta(days=self.day)).date()
        return today - timedelta(days=today.weekday(), weeks=3)


@pytest.fixture
def life(playwright, chromium_browser, tmp_path):
    life = Life(playwright, chromium_browser, tmp_path)
    yield life
    if life.browser:
        life.browser.close()
    life.clinic.server.stop(kill=True)


def test_after_two_weeks_the_desk_shows_exactly_what_happened(life):
    life.morning(0)
    life.pair(life.owner.code)

    for day in (1, 2):
        life.morning(day)
        life.open()
        life.logs()
    # 3 and 4: the phone lies in a drawer.
    life.morning(5)
    life.open()
    life.logs()
    desk = life.desk()
    assert "Missed days" in desk.panel()

    _a_rash_and_its_end(life)
    life.morning(8)
    life.open(zone=NEW_YORK)
    life.logs()
    life.morning(9)
    life.open(zone=NEW_YORK, offline=True)
    life.logs(sent=False)
    _an_update(life)
    life.morning(11)
    life.open()
    life.logs()
    _a_new_phone(life)
    life.morning(13)
    life.open()
    _not_done(life, "Knee pain")
    life.morning(14)
    life.open()
    life.logs()

    # The hold begins on the day of the rash; its bout still shows.
    assert _days_of(life) == [
        "done", "done", "missed", "missed", "done", "paused", "paused",
        "done", "done", "done", "done", "done", "not done, patient says", "done",
    ]  # fmt: skip
    stored = life.clinic.entries(life.owner)
    assert sorted((one.for_date, one.kind) for one in stored) == sorted(life.done)
    assert len({one.id for one in stored}) == len(stored)
    assert life.clinic.held(life.owner) == []


def _days_of(life: Life) -> list[str]:
    boxes = life.boxes(life.desk())
    return [boxes[(EVENING + timedelta(days=day)).date().isoformat()] for day in range(1, DAYS + 1)]


def _a_rash_and_its_end(life: Life) -> None:
    """Day 6: raised skin after the bout. Day 7: held, then lifted at the desk."""
    life.morning(6)
    life.open()
    life.phone.app.go_to_log()
    life.phone.app.log_bout()
    life.phone.app.report_raised_skin()
    life.phone.drained()
    life.done += [(life.date, kind) for kind in ("skin_check", "bout", "skin_check")]
    panel = life.desk().panel()
    assert panel.index("Safety") < panel.index("Skin reaction")

    life.morning(7)
    life.open()
    life.phone.app.expect_words("No bouts for now")
    desk = life.desk()
    desk.patient(life.owner.patient)
    desk.page.get_by_text("Lift this hold").click()
    desk.page.get_by_label("Why the hold may be lifted").fill(
        "Seen: pale again, the pad was dry. New pads."
    )
    desk.page.get_by_role("button", name="Lift", exact=True).click()
    life.phone.app.send_now()
    life.phone.go("#next")
    expect(life.phone.page.locator("main")).not_to_contain_text("No bouts for now", timeout=20_000)


def _an_update(life: Life) -> None:
    """Day 10, home again: the day before is sent, and the next release is taken."""
    life.morning(10)
    build = life.open().page.evaluate(BUILD)
    life.releases.change()
    hear_of_it(life.phone)
    life.phone.app.tap("Use it now", "button")
    life.phone.page.wait_for_function(ANOTHER_BUILD, arg=build)
    life.logs()


def _a_new_phone(life: Life) -> None:
    """Day 12: the old one fell into the bath."""
    life.morning(12)
    life.take("second phone")
    desk = life.desk()
    life.open()
    life.phone.app.open()
    life.phone.app.pair(desk.pairing_code(life.owner.patient))
    desk.confirm_phone()
    expect(life.phone.page.get_by_text("Start bout 1")).to_be_visible(timeout=20_000)
    (life.profile / "paired").touch()
    life.logs()


def _not_done(life: Life, why: str) -> None:
    life.phone.go(f"#not-done/{life.owner.episode}")
    life.phone.app.tap(why)
    life.phone.app.tap("Save", "button")
    life.phone.expect_told(SAVED)
    life.phone.drained()
    life.done.append((life.date, "not_done"))
