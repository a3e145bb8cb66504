"""A telephone number that a tap dials."""

import re

from django import template

register = template.Library()


@register.filter
def tel(number: str) -> str:
    """RFC 3966: the figures and a leading plus; what a person wrote between them is left out."""
    return f"tel:{re.sub(r'(?!^[+])[^0-9]', '', number.strip())}"
