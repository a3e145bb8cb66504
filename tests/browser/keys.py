"""Walks a screen with the Tab key alone, as somebody without a pointer does."""

from playwright.sync_api import Page

# Radios of one name are one stop; what is hidden or taken out is none.
STOPS = """() => {
    const wanted = "a[href], button, summary, input:not([type=hidden]), select, textarea";
    const seen = new Set();
    globalThis.stops = [...document.querySelectorAll(wanted)].filter((one) => {
        if (one.disabled || !one.checkVisibility()) return false;
        if (one.type !== "radio") return true;
        if (seen.has(one.name)) return false;
        return seen.add(one.name);
    });
    const words = (one) => one.getAttribute("aria-label") ?? one.textContent.trim();
    return stops.map((one) => words(one).slice(0, 40) || one.name || one.id);
}"""
# Which stop has the focus, whether a ring shows it, whether something covers it.
HERE = """() => {
    const one = document.activeElement;
    const grouped = (stop) => one.type === "radio" && stop.name === one.name;
    const at = stops.findIndex((stop) => stop === one || grouped(stop));
    const box = one.closest(".box") ?? one;
    const ringed = [one, box].some((part) => {
        const { outlineStyle, outlineWidth } = getComputedStyle(part);
        return outlineStyle !== "none" && parseFloat(outlineWidth) >= 2;
    });
    const { left, top, width, height } = one.getClientRects()[0] ?? new DOMRect();
    const met = document.elementFromPoint(left + width / 2, top + height / 2);
    return { at, ringed, covered: !met || !(box.contains(met) || met.contains(box)) };
}"""
SPARE = 6  # the browser's own stops between the last control and the first


def keyboard_faults(page: Page) -> list[str]:
    names = page.evaluate(STOPS)
    missing, faults = set(range(len(names))), []
    for _ in range(len(names) + SPARE):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        if here["at"] not in missing:
            continue
        missing.discard(here["at"])
        if not here["ringed"]:
            faults.append(f"no ring: {names[here['at']]}")
        if here["covered"]:
            faults.append(f"covered: {names[here['at']]}")
    return faults + [f"not reached: {names[at]}" for at in sorted(missing)]
