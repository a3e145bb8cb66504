"""A patient's thumb in any engine: finds by the words on the screen, presses that point."""

import json
import time

from tests.engines.engines import SETTLE_S

FIND = """
const { words, within, kind } = %s;
const flat = (node) => node.textContent.replace(/\\s+/g, " ").trim();
const seen = (node) => node.getClientRects().length > 0;
const groups = [...document.querySelectorAll("fieldset, section")];
const place = within ? groups.filter((one) => flat(one).includes(within)).at(-1) : document;
if (!place) return null;
const all = [...place.querySelectorAll(kind)].filter(seen);
const says = (fits) => all.find((one) => fits(flat(one)));
const target = says((text) => text === words) ?? says((text) => text.includes(words));
if (!target) return null;
target.scrollIntoView({ block: "center" });
await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
const box = target.getBoundingClientRect();
const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
const hit = document.elementFromPoint(x, y);
return hit && (target.contains(hit) || hit.contains(target)) ? [x, y] : null;
"""
TAPPABLE = "button, a, label, summary"
READ = """
const db = await new Promise((good, bad) => {
  const opening = indexedDB.open("boutwise-queue");
  opening.onsuccess = () => good(opening.result);
  opening.onerror = () => bad(opening.error);
});
const asked = db.transaction("%(store)s").objectStore("%(store)s").getAll();
await new Promise((good, bad) => {
  asked.onsuccess = good;
  asked.onerror = () => bad(asked.error);
});
db.close();
return asked.result
"""
ROWS = READ % {"store": "entries"} + ".sort((a, b) => a.number - b.number);"
DRAFTED = READ % {"store": "drafts"} + ".some(({ value }) => value.answers?.intensity?.[1] === %d);"
ALL_SENT = "All your entries are at the clinic."


class Patient:
    def __init__(self, engine, url: str) -> None:
        self.engine, self.url = engine, url

    def open(self) -> None:
        self.engine.goto(f"{self.url}/p/")

    def tap(self, words: str, *, within: str = "", kind: str = TAPPABLE) -> None:
        wanted = json.dumps({"words": words, "within": within, "kind": kind})
        self.engine.press(*self._until(FIND % wanted, f"nothing to press says {words!r}"))

    def write(self, label: str, text: str) -> None:
        """Into the field of a label; pressing the label puts the caret there."""
        self.tap(label, kind="label")
        self.engine.type(text)

    def rate(self, question: str, value: int) -> None:
        self.tap(str(value), within=question)

    def sees(self, words: str) -> None:
        look = (
            f"return document.querySelector('main').innerText.includes({json.dumps(words)}) || null"
        )
        self._until(look, f"the screen does not say {words!r}")

    def rows(self) -> list[dict]:
        return self.engine.run(ROWS)

    # --- what a patient does ------------------------------------------------

    def pair(self, code: str) -> None:
        self.open()
        self.write("Code", code)
        self.tap("Pair now")
        self.sees(ALL_SENT)
        self.engine.run("await navigator.serviceWorker.ready")

    def begin_a_log(self, ma: int) -> None:
        """Skin and knee pain before, then a form of which one field is filled in."""
        self.tap("Start bout 1")
        self.tap("Skip this for now")  # the lesson before the first bout
        self.tap("It looks and feels the same as the skin around it")
        self.rate("How bad is your knee pain now?", 1)
        self.tap("Save and go on")
        self.tap("I did it without the count")
        self.write("Channel 1", str(ma))
        self._until(DRAFTED % ma, "what was typed is not kept")

    def end_the_log(self) -> None:
        self.tap("Log that bout")
        self.rate("How much discomfort came from the current?", 3)
        self.rate("How bad is your knee pain now?", 2)
        self.tap("Save the bout")

    def check_the_skin(self) -> None:
        self.tap("It looks and feels the same as the skin around it")
        self.tap("Save the skin check")

    def send(self) -> None:
        self.tap("Call", kind="nav a")
        self.tap("Send and fetch now")
        self.sees(ALL_SENT)

    def _until(self, script: str, otherwise: str) -> object:
        until = time.monotonic() + SETTLE_S / 2
        while time.monotonic() < until:
            if found := self.engine.run(script):
                return found
            time.sleep(0.1)
        shown = self.engine.run("return document.body.innerText")
        raise AssertionError(f"{otherwise}; it says: {shown}")
