"""A page as its reader hears it."""

import html
import re


def text_of(response) -> str:
    """Tags out, blanks folded."""
    plain = re.sub(r"<[^>]+>", " ", response.content.decode())
    return html.unescape(re.sub(r"\s+", " ", plain))
