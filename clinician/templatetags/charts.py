"""A chart's numbers as a table. A whole course has thousands of cells: joined, not templated."""

from collections.abc import Sequence
from datetime import date

from django import template
from django.utils.html import conditional_escape, format_html
from django.utils.safestring import SafeString, mark_safe

from clinician.selectors.charts import rows_of
from clinician.selectors.words import day_short

register = template.Library()
GAP = "gap"  # no number that day; the column beside it says why


@register.filter
def day_words(iso: str) -> str:
    return day_short(date.fromisoformat(iso))


@register.simple_tag
def numbers(limb: dict, chart: dict) -> SafeString:
    names = [line["name"] for line in chart["lines"]]
    head = _row("th", ["Day", "The day was", *(f"{one}, {chart['unit']}" for one in names)])
    caption = format_html("<caption>{} {}</caption>", limb["limb"], chart["title"])
    body = "".join(_day(*row) for row in rows_of(limb, chart))
    parts = ['<table class="numbers">', caption, f"<thead><tr>{head}</tr></thead>"]
    return mark_safe("".join([*parts, f"<tbody>{body}</tbody></table>"]))  # noqa: S308  escaped


def _row(tag: str, cells: Sequence[str]) -> str:
    return "".join(f'<{tag} scope="col">{conditional_escape(cell)}</{tag}>' for cell in cells)


def _day(iso: str, status: str, values: Sequence[float | None]) -> str:
    told = "".join(f"<td>{GAP if value is None else format(value, 'g')}</td>" for value in values)
    day = f'<th scope="row"><time datetime="{iso}">{day_words(iso)}</time></th>'
    return f"<tr>{day}<td>{status}</td>{told}</tr>"
