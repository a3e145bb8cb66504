"""One phone in the hand: a paired app in a profile of its own, with its tabs."""

import hashlib
import json
from collections.abc import Collection
from contextlib import suppress
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, expect
from playwright.sync_api import Error as PlaywrightError

from tests.browser.live_clinic import LiveClinic, Paired
from tests.browser.phone import PatientApp

INSIDE = Path(__file__).parent / "inside.js"
ALL_SENT = "All your entries are at the clinic."
SAVED = "Saved on this phone."
TAPS = 15
SETTLED = "() => !['running', undefined].includes(document.documentElement.dataset.sync)"
UNSENT = {"stored", "offered"}


class Handset:
    def __init__(self, context: BrowserContext, clinic: LiveClinic, owner: Paired) -> None:
        self.context, self.clinic, self.owner = context, clinic, owner
        context.set_default_timeout(20_000)
        context.add_init_script(path=INSIDE)
        self.page: Page = context.pages[0] if context.pages else context.new_page()
        self.app = PatientApp(self.page, clinic.url)

    # --- a patient's hand ---------------------------------------------------

    def pair(self) -> "Handset":
        """Paired, in step with the clinic, and the next start is the worker's."""
        self.app.open()
        self.app.pair(self.owner.code)
        expect(self.page.locator("main")).to_contain_text(ALL_SENT, timeout=20_000)
        self.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
        self.restart()
        return self

    def restart(self) -> None:
        """The same tab, started anew through the worker."""
        self.app.open()
        self.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
        expect(self.page.locator("main h1")).not_to_have_text("Boutwise")

    def tab(self) -> "Handset":
        """Another tab of the same phone."""
        other = Handset.__new__(Handset)
        other.context, other.clinic, other.owner = self.context, self.clinic, self.owner
        other.page = self.context.new_page()
        other.app = PatientApp(other.page, self.clinic.url)
        other.restart()
        return other

    def go(self, hash_: str) -> None:
        """Again where the page was just starting anew, as it does after a long sleep."""
        for _ in range(3):
            try:
                self.page.evaluate("hash => { location.hash = hash; }", hash_)
            except PlaywrightError as error:
                if "context was destroyed" not in str(error):
                    raise
                self.page.wait_for_load_state()
            else:
                return
        raise AssertionError("the page starts again and again")

    def note(self, text: str) -> None:
        """The shortest entry there is, filled in and not yet saved."""
        self.go("#note")
        self.page.locator("#text").fill(text)

    def tap_save(self, label: str = "Save and send") -> None:
        self.app.tap(label, "button")

    def told(self) -> str:
        return self.page.locator(".told").inner_text()

    def expect_told(self, words: str) -> None:
        # Past the deadlines of a database that does not answer.
        expect(self.page.locator(".told")).to_have_text(words, timeout=20_000)

    def save_note(self, text: str) -> None:
        self.note(text)
        self.tap_save()
        self.expect_told(SAVED)
        expect(self.page.locator("#text")).to_have_count(0)

    def rests(self) -> None:
        """Nothing is on its way: a leap of the clock finds no deadline to overrun."""
        self.page.wait_for_function(SETTLED)

    def drained(self) -> None:
        """Sent by taps, and said to be at the clinic; a tab that has to wait is tapped again."""
        sent = self.page.locator("main").get_by_text(ALL_SENT)
        for _ in range(TAPS):
            self.app.send_now()
            with suppress(AssertionError):
                expect(sent).to_be_visible(timeout=4_000)
                return
        expect(sent).to_be_visible()

    # --- what it holds ------------------------------------------------------

    def rows(self) -> list[dict]:
        return self.page.evaluate("() => inside.rows()")

    def texts(self) -> list[str]:
        """Of the notes, in the order of their numbers."""
        notes = [row for row in self.rows() if row["kind"] == "note_to_clinic"]
        return [body(row)["payload"]["text"] for row in notes]

    def meta(self) -> dict:
        return self.page.evaluate("() => inside.meta()")

    def unsent(self) -> int:
        return sum(row["state"] in UNSENT for row in self.rows())


def body(row: dict) -> dict:
    return json.loads(row["body"])


def broken_rows(rows: list[dict], number: int, gone: Collection[int] = ()) -> list[str]:
    """What is wrong with a phone's own log, but for numbers known gone: numbers and hashes."""
    numbers = [row["number"] for row in rows]
    whole = numbers == [one for one in range(1, number + 1) if one not in gone]
    faults = [] if whole else [f"numbers are not 1 to {number}: {numbers[:20]} ..."]
    for row in rows:
        if hashlib.sha256(row["body"].encode()).hexdigest() != row["sha256"]:
            faults.append(f"hash of number {row['number']} is wrong")
        told = body(row)
        if (told["id"], told["number"]) != (row["id"], row["number"]):
            faults.append(f"number {row['number']} is stored under another name")
    return faults


def differences(phone: list[dict], clinic: list) -> list[str]:
    """What one side has and the other has not, or has twice; empty when all is well."""
    ours = sorted((row["number"], row["id"], row["sha256"], row["body"]) for row in phone)
    theirs = sorted((row.number, dashed(row.id), row.sha256, row.raw) for row in clinic)
    lost = [f"lost: number {one[0]}" for one in ours if one not in theirs]
    alien = [f"never saved: number {one[0]}" for one in theirs if one not in ours]
    names = [one[1] for one in theirs]
    twice = sorted({f"doubled: {name}" for name in names if names.count(name) > 1})
    return lost + alien + twice


def dashed(plain: str) -> str:
    """SQLite keeps a UUID as 32 letters."""
    return f"{plain[:8]}-{plain[8:12]}-{plain[12:16]}-{plain[16:20]}-{plain[20:]}"
