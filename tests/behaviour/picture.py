"""The trade-off as a table and as one SVG."""

from collections.abc import Iterator, Sequence

from tests.behaviour.measures import Variant

WIDE, HIGH, EDGE = 640, 360, 56
HEAD = (
    f"{'thresholds':<34}{'cards a patient-week':>22}{'due days until shown':>24}\n"
    f"{'':<34}{'at 90 %':>11}{'at 80 %':>11}{'median':>12}{'latest':>12}"
)


def table(variants: Sequence[Variant]) -> Iterator[str]:
    yield HEAD
    for one in variants:
        yield (
            f"{one.name:<34}{one.at_90:>11.2f}{one.at_80:>11.2f}{one.shown_after:>12g}"
            f"{one.latest:>12}"
        )


def svg(variants: Sequence[Variant]) -> str:
    """Burden to the right, delay upwards: who is nearer to the corner is better."""
    right = max(one.at_80 for one in variants) * 1.1
    top = max(one.latest for one in variants) + 1
    across = lambda cards: EDGE + (WIDE - 2 * EDGE) * cards / right  # noqa: E731
    up = lambda days: HIGH - EDGE - (HIGH - 2 * EDGE) * days / top  # noqa: E731
    marks = []
    for one in variants:
        x, y = across(one.at_80), up(one.latest)
        shape = "r='7' fill='none' stroke='black' stroke-width='3'" if one.default else "r='4'"
        marks.append(
            f"<circle cx='{x:.0f}' cy='{y:.0f}' {shape}/>"
            f"<text x='{x + 10:.0f}' y='{y - 6:.0f}' font-size='11'>{one.name}</text>"
        )
    ticks = [
        f"<text x='{EDGE - 16}' y='{up(n) + 4:.0f}' font-size='11'>{n}</text>"
        f"<path d='M{EDGE - 4} {up(n):.0f}H{EDGE}' stroke='black'/>"
        for n in range(int(top) + 1)
    ] + [
        f"<text x='{across(n / 5) - 8:.0f}' y='{HIGH - EDGE + 18}' font-size='11'>{n / 5:g}</text>"
        for n in range(int(right * 5) + 1)
    ]
    frame = f"<path d='M{EDGE} {EDGE}V{HIGH - EDGE}H{WIDE - EDGE}' fill='none' stroke='black'/>"
    names = (
        f"<text x='{EDGE}' y='{EDGE - 16}' font-size='12'>due days until whoever stops is shown, "
        "the latest of all</text>"
        f"<text x='{EDGE}' y='{HIGH - 12}' font-size='12'>new cards about absence a patient-week "
        "at 80 % true adherence</text>"
    )
    inside = "".join([frame, names, *ticks, *marks])
    return (
        f"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {WIDE} {HIGH}' "
        f"font-family='sans-serif'>{inside}</svg>"
    )
