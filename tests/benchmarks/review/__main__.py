"""`python -m tests.benchmarks.review [--show]`: the weekly review of a panel of forty.

Goes through the real pages in headless Chromium, thirty quiet patients and ten that
ask to be called, and prints the steps and the time of the keystroke-level model
beside the goals. Asserts nothing about time.
"""

import argparse
import os
import tempfile
from pathlib import Path
from statistics import median

from playwright.sync_api import sync_playwright

from tests.benchmarks.review.model import Hand
from tests.browser.conftest import FLAGS
from tests.browser.desk import Desk
from tests.support.live import LiveServer
from tests.support.needs import chromium

STORY = "tests.benchmarks.review.story"
SAID = "Ache on stairs, skin calm. Turned down 5 mA."
PLAN = "Lower current, call back Friday."
MOST = 60  # patients; a run that does not end is a fault


def quiet(hand: Hand) -> None:
    """Take in whose limb it is and that nothing is raised, then the week; one key."""
    hand.think(2)
    hand.press("c", leads_on=True)


def flagged(hand: Hand) -> None:
    """Read card and words, decide, write the call down, write it up, sign."""
    page = hand.page
    hand.think(4)
    hand.press("k", leads_on=True)
    hand.think()
    hand.click(page.locator("[name=outcome][value=done]"))
    hand.click(page.locator("[name=minutes]"))
    hand.type("6")
    hand.click(page.locator("textarea[name=note]"))
    hand.type(SAID)
    hand.think()
    hand.click(page.locator("main form.form button[type=submit]").first, leads_on=True)
    hand.think(2)
    hand.click(page.locator("[name=assessment]"))
    hand.type(SAID)
    hand.press("Tab")
    hand.type(PLAN)
    hand.think()
    hand.press("Tab")
    hand.press("Enter", leads_on=True)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.review")
    parser.add_argument("--show", action="store_true", help="every patient's steps")
    show = parser.parse_args().show
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = LiveServer(Path(folder) / "clinic")
        told = server.seed("panel", stories=STORY)
        server.start()
        try:
            browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            Desk(page, server.url).sign_in(told["login"], told["password"])
            page.goto(f"{server.url}/desk/review/")
            taken = go_through(page, show=show)
            browser.close()
        finally:
            server.stop(kill=True)
    _tell(taken, told["patients"])


def go_through(page, *, show: bool = False) -> dict[str, list[Hand]]:
    """Everybody who waits on the review's first page; the hands that did it, by kind."""
    taken: dict[str, list[Hand]] = {"quiet": [], "flagged": []}
    for _ in range(MOST):
        if not page.locator("form.outcomes").count():
            return taken
        kind = "flagged" if page.locator("article.flag").count() else "quiet"
        hand = Hand(page)
        {"quiet": quiet, "flagged": flagged}[kind](hand)
        taken[kind].append(hand)
        if show:
            print(f"{kind:<8} {hand.words()}", flush=True)
    raise SystemExit(f"still at {page.url} after {MOST} patients")


def _tell(taken: dict[str, list[Hand]], patients: int) -> None:
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores, {patients} patients waited")
    for kind, goal in (("quiet", "5 s"), ("flagged", "60 to 90 s")):
        hands = taken[kind]
        if not hands:
            continue
        total = median(one.total_s for one in hands)
        print(f"{len(hands):3} {kind:<8} {hands[-1].words()}  median {total:5.1f} s  goal {goal}")
    whole = sum(one.total_s for hands in taken.values() for one in hands)
    print(f"the whole panel {whole / 60:.1f} min  goal 15 min")


if __name__ == "__main__":
    main()
