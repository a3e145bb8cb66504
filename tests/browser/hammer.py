"""Kills the patient's browser at random moments while its app saves and syncs.

`python -m tests.browser.hammer --kills 2000` runs it for as long as it takes.
"""

import argparse
import json
import random
import sys
import tempfile
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from tests.browser.conftest import PHONE, Browser
from tests.browser.handset import INSIDE, SAVED, Handset, broken_rows, dashed, differences
from tests.browser.live_clinic import LiveClinic

SAVING = (Path(__file__).parent / "hammer.js").read_text()
BEGIN = f"given => {{ ({SAVING})(given); }}"
LONGEST_MS = 250
BRIEF = "rows => rows.map(({ id, number }) => [id, number])"
LOOK = f"async () => [({BRIEF})(await inside.rows()), await inside.drafts(), await inside.meta()]"


@dataclass
class Tally:
    """What the kills came to."""

    kills: int = 0
    shown: int = 0
    lost: int = 0
    stored_but_not_shown: int = 0
    answers_never_heard: int = 0  # the kill came after the commit and before the receipt
    doubled: int = 0
    restored: int = 0  # the browser had thrown the database away, and the copies came in
    cleared: bool = False  # the phone counts itself as cleared: the copies did not help
    faults: list[str] = field(default_factory=list)


class Hammer:
    """One phone whose profile survives every kill."""

    def __init__(self, playwright, clinic: LiveClinic, profile: Path, *, seed: int = 0) -> None:
        self.clinic, self.owner = clinic, clinic.patient()
        self.browser = Browser(playwright, profile, viewport=PHONE)
        self.chance = random.Random(seed)
        self.shown: dict[str, str] = {}
        self.kept: set[tuple[str, int]] = set()  # at the clinic, no longer on the phone
        self.tally = Tally()

    def pair(self) -> None:
        Handset(self._open_browser().context, self.clinic, self.owner).pair()
        self.browser.close()  # lets the browser write the credential to its disk

    def kill(self, *, sync: bool, early: str | None = None) -> None:
        """Start, look whether all is there, save until the kill comes."""
        page = self._start()
        self.check(page)
        owner = {"episode": self.owner.episode, "revision": self.owner.revision}
        page.on("console", self._hear)
        with page.expect_console_message(lambda said: said.text.startswith("shown")):
            page.evaluate(BEGIN, {"owner": owner, "sync": sync, "early": early})
        page.wait_for_timeout(self.chance.uniform(0, LONGEST_MS))
        self.browser.kill()
        self.tally.kills += 1

    def check(self, page: Page) -> None:
        """Everything shown is stored, the numbers have no gap, no saved form came back."""
        rows, drafts, meta = page.evaluate(LOOK)
        tally = self.tally
        if meta.get("restored", 0) > tally.restored:
            tally.restored = meta["restored"]
            # What the clinic had confirmed by then has no copy: it is there.
            self.kept = {(dashed(one.id), one.number) for one in self.clinic.entries(self.owner)}
        all_ = self.kept | {(id_, number) for id_, number in rows}
        stored = {id_ for id_, _number in all_}
        tally.shown = len(self.shown)
        tally.lost = len(self.shown.keys() - stored)
        tally.stored_but_not_shown = len(stored - self.shown.keys())
        if sorted(number for _id, number in all_) != list(range(1, len(all_) + 1)):
            tally.faults.append(f"after {tally.kills} kills the numbers have a gap")
        if meta.get("number", 0) != len(all_):
            tally.faults.append(f"after {tally.kills} kills the count is {meta.get('number')}")
        if back := [key for key in drafts if key.removeprefix("hammer:") in stored]:
            tally.faults.append(f"a form came back though it was saved: {back[0]}")

    def drain(self) -> Tally:
        """Sync what is left, and compare both sides byte for byte."""
        phone = Handset(self._open_browser().context, self.clinic, self.owner)
        phone.restart()
        self.check(phone.page)
        phone.drained()
        self.tally.cleared = phone.meta().get("cleared_ms") is not None
        rows, clinic = phone.rows(), self.clinic.entries(self.owner)
        heard = [row["receipt"]["outcome"] for row in rows]
        self.tally.answers_never_heard = heard.count("already")
        self.tally.doubled = len(clinic) - len({row.id for row in clinic})
        gone = {number for _id, number in self.kept} - {row["number"] for row in rows}
        self.tally.faults += broken_rows(rows, phone.meta()["number"], gone)
        here = [one for one in clinic if one.number not in gone]
        self.tally.faults += differences(rows, here)
        self.tally.faults += [f"held: {code}" for code in self.clinic.held(self.owner)]
        wrong = {words for words in self.shown.values() if words != SAVED}
        self.tally.faults += [f"shown as: {words}" for words in wrong]
        self.browser.close()
        return self.tally

    def _open_browser(self) -> Browser:
        self.browser.open()
        return self.browser

    def _start(self) -> Page:
        context = self._open_browser().context
        context.add_init_script(path=INSIDE)
        page = context.pages[0]
        page.goto(f"{self.clinic.url}/p/")
        return page

    def _hear(self, message) -> None:
        word, _, told = message.text.partition(" ")
        if word == "shown":
            said = json.loads(told)
            self.shown[said["id"]] = said["words"]


def hammer(hit: Hammer, kills: int, after: Callable[[Tally], None] = lambda _: None) -> Tally:
    """Two of three kills with the clinic away, then the rest in the middle of syncs."""
    hit.pair()
    hit.clinic.server.stop()
    away = kills * 2 // 3
    for number in range(kills):
        if number == away:
            hit.clinic.server.start()
        hit.kill(sync=number >= away)
        after(hit.tally)
    return hit.drain()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=random.randrange(10**6))
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="boutwise-hammer-") as folder:
        clinic = LiveClinic(Path(folder) / "clinic", "patient")
        with sync_playwright() as playwright:
            hit = Hammer(playwright, clinic, Path(folder) / "phone", seed=given.seed)
            tally = hammer(hit, given.kills, lambda so_far: print(so_far.kills, end="\r"))
        clinic.server.stop(kill=True)
    print(json.dumps({"seed": given.seed} | asdict(tally)))
    return int(bool(tally.lost or tally.doubled or tally.faults))


if __name__ == "__main__":
    sys.exit(main())
