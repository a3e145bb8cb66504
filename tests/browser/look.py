"""Looks at one screen in all its sizes and colours, and lists what is wrong with it."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import BrowserContext, Page

MEASURE = (Path(__file__).parent / "look.js").read_text()
FORCED = (Path(__file__).parent / "forced.js").read_text()
CONTRAST = (Path(__file__).parent / "contrast.js").read_text()
# Asked for by name: left to itself axe leaves target sizes and 7:1 out.
AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
AAA = [*AA, "wcag2aaa"]
COLOURS = ["color-contrast", "color-contrast-enhanced", "link-in-text-block"]
COLOURS_AA = ["color-contrast", "link-in-text-block"]
CONTRAST_AA = {"large": 3, "small": 4.5, "edge": 3}
CONTRAST_AAA = {"large": 4.5, "small": 7, "edge": 3}
AXE = """async ({ within, run }) => {
    const parts = document.querySelectorAll(within);
    const found = await axe.run(parts.length ? parts : document,
        { runOnly: run, resultTypes: ["violations", "incomplete"], preload: false });
    const words = (id, { target, any, html }) =>
        `${id}: ${target} ${any[0]?.message ?? html}`.slice(0, 300);
    const told = (results) => results.flatMap(({ id, nodes }) =>
        nodes.map((node) => words(id, node)));
    return { sure: told(found.violations), unsure: told(found.incomplete) };
}"""
SPACED = (
    "* { line-height: 1.5 !important; letter-spacing: 0.12em !important;"
    " word-spacing: 0.16em !important; } p { margin-block-end: 2em !important; }"
)
LARGE = """css => {
    globalThis.large ??= new CSSStyleSheet(); // the policy forbids a style element
    globalThis.large.replaceSync(css);
    document.adoptedStyleSheets = [globalThis.large];
}"""
KINDS = ["axe", "in the dark", "sideways", "clipped", "overlapping", "moving", "narrow"]
NARROW = {"width": 320, "height": 640}
WIDE_PHONE = {"width": 412, "height": 915}


@dataclass(frozen=True)
class Gauge:
    """How a kind of screen is looked at."""

    tags: list[str]
    size: dict[str, int]
    limits: dict[str, int] = field(default_factory=dict)
    patients: bool = False
    within: str = "html"


PATIENT = Gauge(
    AAA,
    {"width": 360, "height": 740},
    {"target": 48, "primary": 64, "text": 16, "body": 18},
    patients=True,
)
DESK = Gauge(AA, {"width": 1280, "height": 800})
# A refused page differs from the page by its faults alone.
DESK_REFUSED = Gauge(AA, DESK.size, within=".trouble, .wrong, [aria-invalid]")
DESK_IN_HAND = Gauge(AA, {"width": 360, "height": 740})


@dataclass(frozen=True)
class Look:
    """One screen; `faults` by kind, empty lists where nothing is wrong."""

    name: str
    faults: dict[str, list[str]]


def look_at(page: Page, name: str, gauge: Gauge, *, deep: bool = False) -> Look:
    """`deep` = axe looks at the colours of the dark too, and takes half as long again."""
    page.set_viewport_size(gauge.size)
    if page.evaluate("() => typeof globalThis.axe") == "undefined":
        page.evaluate(AXE_SCRIPT)
    axe = _axe(page, gauge, gauge.tags)
    faults = {"axe": axe["sure"], "axe is unsure": axe["unsure"]}
    faults |= page.evaluate(MEASURE, gauge.limits)
    faults["in the dark"] = _in_the_dark(page, gauge, deep=deep)
    faults["narrow"] = _at(page, NARROW)  # 1280 px at 400 % zoom: one way of scrolling only
    if gauge.patients:
        faults["wide"] = _at(page, WIDE_PHONE)
        faults["contrast"] = page.evaluate(CONTRAST, CONTRAST_AAA)
        faults["forced colours"] = _in_forced_colours(page)
        faults["doubled"] = _doubled(page, gauge)
    return Look(name, faults)


def _axe(page: Page, gauge: Gauge, rules: list[str]) -> dict[str, list[str]]:
    """`rules` = tags, or names of rules."""
    return page.evaluate(AXE, {"within": gauge.within, "run": rules})


def _in_the_dark(page: Page, gauge: Gauge, *, deep: bool) -> list[str]:
    """Contrast alone: all else is as axe has seen it in the light."""
    least = CONTRAST_AAA if gauge.patients else CONTRAST_AA
    page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    faults = page.evaluate(CONTRAST, least)
    if deep:
        faults += _axe(page, gauge, COLOURS if gauge.patients else COLOURS_AA)["sure"]
    page.emulate_media(color_scheme="light", reduced_motion="reduce")
    return faults


def _in_forced_colours(page: Page) -> list[str]:
    """The system's few colours: what only a ground or a fill told is gone."""
    page.emulate_media(forced_colors="active", reduced_motion="reduce")
    faults = page.evaluate(FORCED)
    page.emulate_media(forced_colors="none", reduced_motion="reduce")
    return faults


def _at(page: Page, size: dict[str, int]) -> list[str]:
    page.set_viewport_size(size)
    measured = page.evaluate(MEASURE, {})
    return measured["sideways"] + measured["clipped"]


def _doubled(page: Page, gauge: Gauge) -> list[str]:
    """Text of twice the size, and as far apart as WCAG 1.4.12 has it."""
    page.set_viewport_size(gauge.size)
    page.evaluate(LARGE, "html { font-size: 200%; } " + SPACED)
    measured = page.evaluate(MEASURE, {})
    page.evaluate(LARGE, "")
    return measured["sideways"] + measured["clipped"] + measured["overlapping"]


class Listener:
    """What a whole visit must not do: break the policy, fail, ask elsewhere."""

    def __init__(self, context: BrowserContext, origin: str) -> None:
        self.origin = origin
        self.faults: list[str] = []
        context.add_init_script(
            "addEventListener('securitypolicyviolation', ({ violatedDirective, blockedURI }) =>"
            " console.error(`policy: ${violatedDirective} ${blockedURI}`));"
        )
        context.on("request", self._requested)
        context.on("weberror", lambda told: self.faults.append(str(told.error)))
        context.on("console", self._said)

    def _requested(self, request) -> None:
        if not request.url.startswith((self.origin, "blob:", "data:")):
            self.faults.append(f"asked elsewhere: {request.url}")

    def _said(self, message) -> None:
        # A refused request is an answer; the tour asks for some on purpose.
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.faults.append(message.text)


def faults_of(looks: Iterable[Look], *kinds: str) -> dict[str, list[str]]:
    """Only the screens where something is wrong."""
    found = {
        look.name: [one for kind in kinds for one in look.faults[kind]] for look in looks
    }  # fmt: skip
    return {name: faults for name, faults in found.items() if faults}
