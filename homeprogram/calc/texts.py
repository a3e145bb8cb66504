"""The fixed texts a phone shows, a clinic's own words over ours.

A clinic's own words go to every phone as the clinic wrote them, until it has
written them in the phone's language too: nobody but the clinic says them anew.
"""

import json
from functools import cache
from pathlib import Path

from homeprogram.calc.limits import FlagRules

TEXTS = Path(__file__).resolve().parents[2] / "fixtures" / "texts"
FIRST = "en"
LANGUAGES = {"en": "English", "es": "Español"}
KINDS = ("skin", "knee", "stop", "hold")
# Under this name, by language, what a clinic wrote in a further language.
FURTHER = "in"


def pads_told(rules: dict) -> dict:
    """What the phone needs to count pads as the clinic does."""
    flags = FlagRules.of_clinic(rules)
    return {"pads_uses": flags.pads_uses, "pads_warn": flags.pads_warn}


@cache
def default_texts(language: str = FIRST) -> dict:
    return json.loads((TEXTS / f"{language}.json").read_text(encoding="utf-8"))


def texts_of(edited: dict, language: str = FIRST) -> dict:
    """The texts, of which the clinic may replace any, and the cautions, to which it may add."""
    ours = default_texts(language)
    further = own_in(edited, language) if language != FIRST else {}
    texts = {k: ours[k] | edited.get(k, {}) | further.get(k, {}) for k in KINDS}
    theirs = further.get("cautions") or edited.get("cautions") or []
    # Those for everybody stay whatever a clinic writes; one told twice is told once.
    return texts | {"cautions": list(dict.fromkeys([*ours["cautions"], *theirs]))}


def further_texts(edited: dict) -> dict[str, dict]:
    """The same in every language but the first."""
    return {language: texts_of(edited, language) for language in LANGUAGES if language != FIRST}


def own_in(edited: dict, language: str) -> dict:
    """What the clinic itself wrote in a language."""
    return edited if language == FIRST else edited.get(FURTHER, {}).get(language, {})
