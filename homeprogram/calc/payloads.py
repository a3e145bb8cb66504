"""What each kind of entry may say. One reader per kind; raises InvalidEntry.

A reader returns a clean copy: known keys only, checked values, text as given.
"""

from collections.abc import Iterable

from homeprogram.calc import limits
from homeprogram.calc.pads import PAD_NEWS
from homeprogram.calc.skin import MOMENTS, PADS
from homeprogram.calc.symptoms import ROUTE_OF
from homeprogram.calc.text_forms import minute_as_said, uuid_of
from homeprogram.calc.told_changes import CHANGED
from homeprogram.errors import InvalidEntry

ENDED_EARLY = ("pain", "discomfort", "skin", "stimulator", "tired", "interrupted", "other")
NOT_DONE = (
    "pain",
    "swelling",
    "skin",
    "ill",
    "stimulator",
    "pads",
    "no_time",
    "forgot",
    "travel",
    "other",
)
SWELLING = ("none", "some", "much")
COLOURS = ("same", "slight", "marked")
PATTERNS = ("even", "patchy", None)


def bout(payload: object) -> dict:
    said = _dict(payload)
    clean = {
        "started_at": _minute(said, "started_at"),
        "ended_early": _choice(said, "ended_early", (*ENDED_EARLY, None), default=None),
        "minutes": _number(said, "minutes", 0, limits.BOUT_MINUTES_MAX),
        "contractions": _count(said, "contractions", 0, limits.CONTRACTIONS_MAX),
        "intensity": _intensity(said),
        "exercises": [_short(one, "exercises") for one in _list(said, "exercises", 10)],
        "discomfort": _rating(said, "discomfort"),
        "knee_pain_before": _rating(said, "knee_pain_before"),
        "knee_pain_after": _rating(said, "knee_pain_after"),
    }
    if not _blank(said.get("note")):
        clean["note"] = _text(said, "note", limits.NOTE_MAX)
    return clean


def skin_check(payload: object) -> dict:
    said = _dict(payload)
    pads = [_pad(one) for one in _list(said, "pads", len(PADS))]
    if not pads or len({pad["pad"] for pad in pads}) != len(pads):
        _refuse("pads", "A skin check names each pad once.")
    return {
        "bout_id": _uuid_or_none(said, "bout_id"),
        "moment": _choice(said, "moment", MOMENTS),
        "pads": pads,
    }


def not_done(payload: object) -> dict:
    said = _dict(payload)
    return {
        "ordinal": _count(said, "ordinal", 1, 10),
        "reason": _choice(said, "reason", NOT_DONE),
    }


def morning_check(payload: object) -> dict:
    said = _dict(payload)
    return {
        "swelling": _choice(said, "swelling", SWELLING),
        "knee_pain": _rating(said, "knee_pain"),
    }


def stop_report(payload: object) -> dict:
    said = _dict(payload)
    symptoms = _list(said, "symptoms", len(ROUTE_OF))
    if not symptoms or any(not isinstance(s, str) or s not in ROUTE_OF for s in symptoms):
        _refuse("symptoms", "A stop report names at least one known symptom.")
    return {"symptoms": sorted(set(symptoms), key=list(ROUTE_OF).index)}


def note_to_clinic(payload: object) -> dict:
    """`changed` and `pads` say the same as the text, for a rule to read."""
    said = _dict(payload)
    clean = {
        "text": _text(said, "text", limits.MESSAGE_MAX),
        "wants_contact": _yes_no(said, "wants_contact"),
    }
    if said.get("changed") is not None:
        clean["changed"] = _changed(said)
    if said.get("pads") is not None:
        clean["pads"] = _choice(said, "pads", PAD_NEWS)
    return clean


def correction(payload: object) -> dict:
    said = _dict(payload)
    # The new payload is read once its target's kind is known.
    return {
        "of": _uuid(said, "of"),
        "payload": _dict(said.get("payload")),
        "reason": _text(said, "reason", limits.REASON_MAX),
    }


def withdrawal(payload: object) -> dict:
    said = _dict(payload)
    return {"of": _uuid(said, "of"), "reason": _text(said, "reason", limits.REASON_MAX)}


PAYLOADS = {
    "bout": bout,
    "skin_check": skin_check,
    "not_done": not_done,
    "morning_check": morning_check,
    "stop_report": stop_report,
    "note_to_clinic": note_to_clinic,
    "correction": correction,
    "withdrawal": withdrawal,
}


def _refuse(field: str, message: str) -> None:
    raise InvalidEntry(message, code="payload_invalid", fields={field: message})


def _dict(value: object, field: str = "payload") -> dict:
    if not isinstance(value, dict):
        _refuse(field, f"{field} says nothing that can be read.")
    return value


def _list(said: dict, field: str, most: int) -> list:
    value = said.get(field)
    if not isinstance(value, list) or len(value) > most:
        _refuse(field, f"{field} must be a list of at most {most}.")
    return value


def _choice(said: dict, field: str, options: Iterable, **default: object) -> object:
    value = said.get(field, default.get("default", ""))
    if value not in options:
        _refuse(field, f"{field} is not one of the known answers.")
    return value


def _number(said: dict, field: str, low: float, high: float) -> float:
    value = said.get(field)
    if isinstance(value, bool) or not isinstance(value, int | float):
        _refuse(field, f"{field} must be a number.")
    if not low <= value <= high:  # neither is "not a number"
        _refuse(field, f"{field} must be from {low} to {high}.")
    return value


def _count(said: dict, field: str, low: int, high: int) -> int:
    value = _number(said, field, low, high)
    if value != int(value):
        _refuse(field, f"{field} must be a whole number.")
    return int(value)


def _rating(said: dict, field: str) -> int:
    return _count(said, field, 0, limits.RATING_MAX)


def _blank(value: object) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def _text(said: dict, field: str, most: int) -> str:
    value = said.get(field)
    if not isinstance(value, str) or _blank(value) or len(value) > most:
        _refuse(field, f"{field} must be text of 1 to {most} characters.")
    return value


def _short(value: object, field: str) -> str:
    if not isinstance(value, str) or not 1 <= len(value) <= 40:
        _refuse(field, f"{field} must be short codes.")
    return value


def _uuid(said: dict, field: str) -> str:
    try:
        return str(uuid_of(said[field]))
    except (KeyError, TypeError, ValueError, AttributeError):
        _refuse(field, f"{field} must name an entry.")


def _uuid_or_none(said: dict, field: str) -> str | None:
    return None if said.get(field) is None else _uuid(said, field)


def _minute(said: dict, field: str) -> str:
    try:
        return minute_as_said(said.get(field))
    except (TypeError, ValueError):
        _refuse(field, f"{field} must be a local time like 2030-03-04T08:15.")


def _intensity(said: dict) -> list[dict]:
    channels = [_channel(one) for one in _list(said, "intensity", 8)]
    if len({one["channel"] for one in channels}) != len(channels):
        _refuse("channel", "A bout names each channel once.")
    return channels


def _channel(value: object) -> dict:
    said = _dict(value, "intensity")
    unit = _choice(said, "unit", ("mA", "level"))
    top = limits.INTENSITY_MAX_MA if unit == "mA" else limits.INTENSITY_MAX_LEVEL
    return {
        "channel": _count(said, "channel", 1, 8),
        "value": _number(said, "value", 0, top),
        "unit": unit,
    }


def _pad(value: object) -> dict:
    said = _dict(value, "pads")
    facts = _dict(said.get("facts"), "facts")
    colour = _choice(facts, "colour", COLOURS)
    pattern = _choice(facts, "pattern", PATTERNS, default=None)
    if (colour == "same") != (pattern is None):
        _refuse("pattern", "Even or patchy is said of a changed colour, and only of that.")
    return {
        "pad": _choice(said, "pad", PADS),
        "facts": {
            "colour": colour,
            "pattern": pattern,
            **{name: _yes_no(facts, name) for name in ("raised", "itchy", "sore", "broken")},
        },
    }


def _changed(said: dict) -> list[str]:
    told = _list(said, "changed", len(CHANGED))
    if not told or any(not isinstance(one, str) or one not in CHANGED for one in told):
        _refuse("changed", "changed names at least one known change.")
    return [one for one in CHANGED if one in told]


def _yes_no(facts: dict, field: str) -> bool:
    if not isinstance(facts.get(field), bool):
        _refuse(field, f"{field} must be answered yes or no.")
    return facts[field]
