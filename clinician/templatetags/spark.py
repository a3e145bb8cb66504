"""Small lines as markup: plain SVG of our own, no style and no script in it."""

from collections.abc import Iterable

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from clinician.selectors.spark import HEIGHT, PAD, WIDTH, Line

register = template.Library()
FLOOR = HEIGHT - PAD
SPARK = (
    '<span class="spark {}"><svg width="{}" height="{}" role="img" aria-label="{}">'
    '<path class="zero" d="M0 {}H{}"/>{}</svg> {}</span> '
)


@register.simple_tag
def sparks(lines: Iterable[Line]) -> SafeString:
    return mark_safe("".join(map(_spark, lines)))  # noqa: S308  each part is escaped


def _spark(line: Line) -> SafeString:
    runs = "".join(f'<polyline points="{run}"/>' for run in line.runs)
    dots = "".join(f'<circle cx="{x:g}" cy="{y:g}" r="1.8"/>' for x, y in line.dots)
    drawn = mark_safe(runs + dots)  # noqa: S308  numbers only
    return format_html(
        SPARK, line.kind, WIDTH, HEIGHT, line.label, FLOOR, WIDTH, drawn, line.newest
    )
