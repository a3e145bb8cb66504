"""The keystroke-level model: what a practised hand needs for a task, step by step.

Card, Moran and Newell 1980, Communications of the ACM 23(7), 396-410, doi
10.1145/358886.358895; operator times from memory. It counts no reading beyond the
mental operators and no thinking about the patient: it compares the work of the
hands, and says nothing about how long a clinician should look.
"""

from collections import Counter
from dataclasses import dataclass, field
from time import perf_counter

from playwright.sync_api import Locator, Page

K = 0.28  # [s] a key, average non-secretary typist; also the button of a pointer
P = 1.1  # [s] point at something
H = 0.4  # [s] hand from keys to pointer or back
M = 1.35  # [s] make up one's mind, or take in one part of the screen


@dataclass
class Hand:
    """Does each step in the real page and counts it. R = waiting for the page, measured."""

    page: Page
    steps: Counter = field(default_factory=Counter)
    waited_s: float = 0.0
    on_keys: bool = True

    def think(self, times: int = 1) -> None:
        self.steps["M"] += times

    def press(self, key: str, *, leads_on: bool = False) -> None:
        self._to_keys()
        self.steps["K"] += 1 + ("+" in key)
        self._do(lambda: self.page.keyboard.press(key), leads_on=leads_on)

    def type(self, words: str) -> None:
        self._to_keys()
        self.steps["K"] += len(words)
        self.page.keyboard.type(words)

    def click(self, what: Locator, *, leads_on: bool = False) -> None:
        if self.on_keys:
            self.steps["H"] += 1
        self.on_keys = False
        self.steps["P"] += 1
        self.steps["K"] += 1
        self._do(what.click, leads_on=leads_on)

    def _to_keys(self) -> None:
        if not self.on_keys:
            self.steps["H"] += 1
        self.on_keys = True

    def _do(self, act, *, leads_on: bool) -> None:
        if not leads_on:
            act()
            return
        began = perf_counter()
        with self.page.expect_navigation():
            act()
        self.waited_s += perf_counter() - began

    @property
    def modelled_s(self) -> float:
        times = {"K": K, "P": P, "H": H, "M": M}
        return sum(times[name] * count for name, count in self.steps.items())

    @property
    def total_s(self) -> float:
        return self.modelled_s + self.waited_s

    def words(self) -> str:
        counts = "  ".join(f"{name} {self.steps[name]:3}" for name in "KPHM")
        return f"{counts}  hands and mind {self.modelled_s:6.1f} s  waiting {self.waited_s:5.1f} s"
