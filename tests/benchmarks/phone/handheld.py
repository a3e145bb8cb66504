"""A paired phone with a log of a given length, started with its processor slowed down."""

import time
from pathlib import Path

from tests.browser.conftest import PHONE, Browser
from tests.browser.handset import Handset
from tests.browser.live_clinic import LiveClinic

HERE = Path(__file__).resolve().parent
STOPWATCH = HERE / "stopwatch.js"
GROW = (HERE / "grow.js").read_text()
SLOWER = 4
SENT_S = 300


class Handheld:
    def __init__(self, playwright, clinic: LiveClinic, profile: Path, *, bouts: int) -> None:
        self.clinic, self.owner, self.bouts = clinic, clinic.patient(), bouts
        self.browser = Browser(playwright, profile, viewport=PHONE, has_touch=True)

    def fill(self) -> int:
        """The first bout by hand, the others like it; all sent. The number of entries."""
        self.browser.open()
        phone = Handset(self.browser.context, self.clinic, self.owner).pair()
        phone.app.full_day()
        phone.drained()
        entries = phone.page.evaluate(GROW, {"bouts": self.bouts})
        phone.restart()
        phone.drained()
        until = time.monotonic() + SENT_S
        while phone.unsent() and time.monotonic() < until:
            phone.drained()
        assert len(phone.rows()) == entries
        assert not phone.unsent()
        self.browser.close()
        return entries

    def start(self) -> float:
        """Milliseconds of one cold start: a new browser, no server, a slow processor."""
        self.browser.close()
        self.browser.open()
        self.page = self.browser.context.new_page()
        self.page.add_init_script(path=STOPWATCH)
        session = self.browser.context.new_cdp_session(self.page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        self.page.goto(f"{self.clinic.url}/p/")
        self.page.wait_for_function("() => stopwatch.usable > 0")
        return self.page.evaluate("() => stopwatch.usable")

    def save(self, times: int, *, after_s: float) -> list[float]:
        """Milliseconds from the tap on save to the painted word that a bout is kept.

        `after_s` is the time from the last answer to that tap.
        """
        self.start()
        yesterday = self.page.evaluate("() => new Date(Date.now() - 864e5).toISOString()")[:10]
        for n in range(1, times + 1):
            self.page.evaluate("hash => { location.hash = hash; }", "#next")
            self.page.locator("h1", has_text="Next bout").wait_for(state="attached")
            where = f"#log/{self.owner.episode}/{yesterday}"
            self.page.evaluate("hash => { location.hash = hash; }", where)
            self.page.locator("#channel-1").fill("42")
            for question in ("discomfort", "knee_pain_before", "knee_pain_after"):
                self.page.locator(f"#{question} label").nth(2).click()
            self.page.wait_for_timeout(1000 * after_s)
            self.page.locator(".action .primary").click()
            self.page.wait_for_function("n => stopwatch.saves.length >= n", arg=n)
        return self.page.evaluate("() => stopwatch.saves")
