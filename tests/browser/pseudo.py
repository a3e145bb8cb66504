"""Languages that nobody speaks, made from the English one, to find what a new one would break."""

import json
import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import BrowserContext

ENGLISH = Path(__file__).parents[2] / "static" / "patient" / "words" / "en.json"
LATIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
ACCENTED = "àƀçðéƒĝĥîĵķļɱñöþǫŕšţûṽŵẋýžÀƁÇÐÉƑĜĤÎĴĶĻṀÑÖÞǪŔŠŢÛṼŴẊÝŽ"
# Letters of a script that runs the other way; which ones does not matter.
HEBREW = "אבגדהוזחטיכלמנסעפצקרשתאבגדאבגדהוזחטיכלמנסעפצקרשתאבגד"
GROWN = 0.4


def _outside_names(words: str, change: Callable[[str], str]) -> str:
    """Everything but what is filled in: {count} stays {count}."""
    return "".join(
        part if part.startswith("{") else change(part)
        for part in re.split(r"(\{\w+\})", words)
        if part
    )


def accented(words: str) -> str:
    """In brackets, with accents, and two fifths longer."""
    table = str.maketrans(LATIN, ACCENTED)
    plain = re.sub(r"\{\w+\}", "", words)
    more = "~" * max(1, round(len(plain) * GROWN))
    # Broken where words are: one endless word would be no language.
    room = " ".join(more[at : at + 7] for at in range(0, len(more), 7))
    return f"⟦{_outside_names(words, lambda part: part.translate(table))} {room}⟧"


def turned(words: str) -> str:
    return _outside_names(words, lambda part: part.translate(str.maketrans(LATIN, HEBREW)))


def told(change: Callable[[str], str], *, direction: str = "ltr") -> str:
    """The file of words a phone would load."""
    english = json.loads(ENGLISH.read_text(encoding="utf-8"))
    changed = {
        key: [change(one) for one in words] if isinstance(words, list) else change(words)
        for key, words in english["words"].items()
    }
    return json.dumps({**english, "dir": direction, "words": changed})


def speak(context: BrowserContext, words: str) -> None:
    """From the next load on, whatever language the phone asks for."""
    context.unroute("**/patient/words/*.json")
    context.route(
        "**/patient/words/*.json",
        lambda route: route.fulfill(body=words, content_type="application/json"),
    )
