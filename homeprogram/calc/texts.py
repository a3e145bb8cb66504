"""The fixed texts a phone shows, a clinic's own words over ours."""

import json
from functools import cache
from pathlib import Path

TEXTS = Path(__file__).resolve().parents[2] / "fixtures" / "texts" / "en.json"
KINDS = ("skin", "stop", "hold")


@cache
def default_texts() -> dict:
    return json.loads(TEXTS.read_text(encoding="utf-8"))


def texts_of(edited: dict) -> dict:
    """Skin, stop and hold texts and cautions; the clinic may replace any of them."""
    ours = default_texts()
    texts = {kind: ours[kind] | edited.get(kind, {}) for kind in KINDS}
    return texts | {"cautions": list(edited.get("cautions") or ours["cautions"])}
