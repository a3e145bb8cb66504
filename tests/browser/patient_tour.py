"""A phone that is walked through the patient's screens, and what was seen on the way."""

from datetime import UTC, datetime

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.keys import keyboard_faults
from tests.browser.look import PATIENT, Listener, Look, look_at
from tests.browser.phone import PatientApp

AFTERNOON, FORENOON = 14, 11
UNFOLDED = "() => document.querySelectorAll('details').forEach((one) => (one.open = true))"


def zone_where_it_is(hour: int, now: datetime) -> str:
    """A zone with that hour on the wall and the day that UTC has.

    What a phone asks depends on the time of day; the tour must not.
    """
    east = hour - now.hour
    return f"Etc/GMT{-east:+d}" if east else "UTC"


class Phone:
    """One phone of the tour: a fresh profile, paired or not."""

    def __init__(self, tour: "PatientTour", hour: int = AFTERNOON) -> None:
        self.tour = tour
        self.context: BrowserContext = tour.browser.new_context(
            viewport=PATIENT.size,
            has_touch=True,
            reduced_motion="reduce",
            service_workers="block",  # offline is the main job's test; here it costs time
            timezone_id=zone_where_it_is(hour, datetime.now(tz=UTC)),
        )
        self.context.set_default_timeout(10_000)
        self.listener = Listener(self.context, tour.url)
        self.page: Page = self.context.new_page()
        self.app = PatientApp(self.page, tour.url)

    def __enter__(self) -> "Phone":
        self.app.open()
        self.page.locator("#code").wait_for()
        return self

    def __exit__(self, *error: object) -> None:
        self.tour.faults += self.listener.faults
        self.context.close()

    def pair(self, state: str, expected: str) -> None:
        self.app.pair(self.tour.codes[state])
        self.page.locator("main").get_by_text(expected).first.wait_for()

    def look(self, name: str) -> None:
        self.tour.looks.append(look_at(self.page, name, PATIENT, deep=self.tour.deep))
        self.page.set_viewport_size(PATIENT.size)
        self.tour.seen.add(self.screen)

    def look_and_tab(self, name: str) -> None:
        """The main screens also by keyboard alone."""
        self.look(name)
        self.tour.keyboard[name] = keyboard_faults(self.page)

    @property
    def screen(self) -> str:
        return self.page.url.partition("#")[2].partition("/")[0] or "next"

    def go(self, hash_: str, words: str) -> None:
        self.page.evaluate("hash => { location.hash = hash; }", hash_)
        self.page.locator("h1", has_text=words).first.wait_for(state="attached")

    def unfold(self) -> None:
        self.page.evaluate(UNFOLDED)

    def save(self, label: str) -> None:
        self.app.tap(label, "button")

    def refuse(self, label: str) -> None:
        """Save with nothing said: the faults are listed."""
        self.save(label)
        expect(self.page.locator(".fault-list")).to_be_visible()

    def legs(self) -> list[str]:
        """Where the buttons of the two legs lead, left first."""
        buttons = self.page.locator("a.limb-button").all()
        return [button.get_attribute("href") for button in buttons]

    def episode(self) -> str:
        return self.page.locator("a[href^='#log/']").first.get_attribute("href").split("/")[1]


class PatientTour:
    def __init__(
        self, browser: Browser, url: str, codes: dict[str, str], *, deep: bool = False
    ) -> None:
        self.browser, self.url, self.codes, self.deep = browser, url, codes, deep
        self.looks: list[Look] = []
        self.faults: list[str] = []
        self.seen: set[str] = set()
        self.keyboard: dict[str, list[str]] = {}

    def phone(self, hour: int = AFTERNOON) -> Phone:
        return Phone(self, hour)
