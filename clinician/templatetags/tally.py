"""A strip of days as markup. A panel has thousands of marks, most of them alike."""

from collections.abc import Iterable
from functools import lru_cache

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from clinician.selectors.strip import Cell

register = template.Library()
MARK = (
    '<li class="{}"><svg width="16" height="24" aria-hidden="true" focusable="false">'
    '<use href="#mark-{}"/></svg><span class="vh">{}</span></li>'
)


@register.simple_tag
def tally(cells: Iterable[Cell]) -> SafeString:
    return mark_safe("".join(map(_mark, cells)))  # noqa: S308  each part is escaped


@lru_cache(maxsize=4096)
def _mark(cell: Cell) -> SafeString:
    classes = ["mark", cell.status, "monday" if cell.monday else "", "today" if cell.today else ""]
    return format_html(MARK, " ".join(filter(None, classes)), cell.status, cell.label)
