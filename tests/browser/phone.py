"""What a patient does, in the words on the screen."""

import re
from contextlib import suppress

from playwright.sync_api import Page, expect
from playwright.sync_api import TimeoutError as NotThereError

TURNS = 4


class PatientApp:
    """Drives the app by taps only, as a thumb would."""

    def __init__(self, page: Page, url: str) -> None:
        self.page, self.url = page, url

    def open(self) -> None:
        self.page.goto(f"{self.url}/p/")

    def tap(self, words: str, role: str | None = None) -> None:
        target = (
            self.page.get_by_role(role, name=words)
            if role
            else self.page.get_by_text(words, exact=True)
        )
        target.first.click()

    def pair(self, code: str) -> None:
        self.page.get_by_label("Code").fill(code)
        self.tap("Pair now", "button")

    def rate(self, question: str, value: int) -> None:
        group = self.page.get_by_role("group", name=question)
        group.get_by_role("radio", name=str(value), exact=True).click()

    def skin_is_the_same(self) -> None:
        self.tap("It looks and feels the same as the skin around it")

    def go_to_log(self) -> None:
        """Skin and knee pain before, then a bout done without the count."""
        self.tap("Start bout 1")
        self.skip_lesson()
        self.skin_is_the_same()
        self.rate("How bad is your knee pain now?", 1)
        self.tap("Save and go on", "button")
        self.tap("I did it without the count")

    def skip_lesson(self) -> None:
        """It comes before the first bout of a phone, and not again."""
        skip = self.page.get_by_role("button", name="Skip this for now")
        skip.or_(self.page.get_by_text("Look at the skin")).first.wait_for()
        if skip.is_visible():
            skip.click()

    def log_bout(self, ma: int = 42) -> None:
        self.page.get_by_role("spinbutton", name="Channel 1").fill(str(ma))
        self.rate("How much discomfort came from the current?", 3)
        self.rate("How bad is your knee pain now?", 2)
        self.tap("Save the bout", "button")

    def check_skin_after(self) -> None:
        """The screen that follows a saved bout."""
        self.skin_is_the_same()
        self.tap("Save the skin check", "button")

    def full_day(self) -> None:
        self.go_to_log()
        self.log_bout()
        self.check_skin_after()

    def report_raised_skin(self) -> None:
        self.tap("Something is different")
        self.skin_of(1, raised="Yes")
        self.skin_of(2)
        self.tap("Save the skin check", "button")
        # Saved: or what is tapped next would be left again for it.
        self.page.wait_for_url(re.compile("#skin-told/"))

    def skin_of(
        self,
        pad: int,
        *,
        colour: str = "Same colour",
        pattern: str = "",
        raised: str = "No",
        itchy: str = "No",
    ) -> None:
        """Every fact of one pad's skin; the pattern is asked only of a colour that differs."""
        card = self.page.get_by_role("region", name=f"Pad {pad}")
        self._answer(card, "Is the colour like the skin around it?", colour)
        if pattern:
            self._answer(card, "Is the change even or in patches?", pattern)
        self._answer(card, "Is it raised or puffy?", raised)
        self._answer(card, "Does it itch?", itchy)
        self._answer(card, "Is it sore?", "No")
        self._answer(card, "Is there a blister, a burn or broken skin?", "No")

    def _answer(self, card, question: str, words: str) -> None:
        card.get_by_role("group", name=question).get_by_role("radio", name=words).click()

    def area(self, name: str) -> None:
        self.page.get_by_role("navigation").get_by_text(name, exact=True).click()

    def expect_words(self, *words: str) -> None:
        for phrase in words:
            expect(self.page.locator("main")).to_contain_text(phrase)

    def send_now(self) -> None:
        """A save under way may still lead on to its next screen: then to Call once more."""
        button = self.page.get_by_role("button", name="Send and fetch now").first
        for _ in range(TURNS):
            self.area("Call")
            with suppress(NotThereError):
                button.click(timeout=3_000)
                return
        button.click()

    def states(self) -> list[str]:
        """Where each entry is, straight from the phone's own store."""
        return self.page.evaluate(
            """() => new Promise((resolve, reject) => {
                const opening = indexedDB.open("boutwise-queue");
                opening.onerror = () => reject(opening.error);
                opening.onsuccess = () => {
                    const db = opening.result;
                    const asked = db.transaction("entries").objectStore("entries").getAll();
                    asked.onsuccess = () => {
                        db.close();
                        resolve(asked.result.map(({ kind, state }) => `${kind} ${state}`).sort());
                    };
                };
            })"""
        )
