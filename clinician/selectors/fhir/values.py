"""Small parts of FHIR R4 resources: plain dicts, and nothing empty in them."""

import re
from collections.abc import Mapping
from datetime import date, datetime, timedelta, timezone
from typing import Any
from uuid import UUID, uuid5

# Our own codes: one list a kind of word, so that no code means two things.
OWN = "urn:boutwise:code:"
UCUM = "http://unitsofmeasure.org"
LOINC = "http://loinc.org"
URI = "urn:ietf:rfc:3986"
# Our units -> as people read them, and as UCUM writes them.
UNITS = {
    "mA": ("mA", "mA"),
    "level": ("level", "{level}"),
    "Hz": ("Hz", "Hz"),
    "us": ("µs", "us"),
    "s": ("s", "s"),
    "min": ("min", "min"),
    "h": ("h", "h"),
    "%": ("%", "%"),
    "°": ("°", "deg"),
    "cm": ("cm", "cm"),
    "cm2": ("cm²", "cm2"),
    "of 10": ("of 10", "{score}"),
    "of 4": ("of 4", "{score}"),
    "points": ("points", "{score}"),
    "N": ("N", "N"),
    "kgf": ("kgf", "kgf"),
    "lbf": ("lbf", "[lbf_av]"),
    "Nm": ("Nm", "N.m"),
    "ftlbf": ("ft·lbf", "[ft_i].[lbf_av]"),
    "Nm/kg": ("Nm/kg", "N.m/kg"),
    "contractions": ("contractions", "1"),
    "channels": ("channels", "1"),
}
# What a string of FHIR may not hold: control characters but tab and line ends.
FORBIDDEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")

Part = dict[str, Any]


def told(**parts: Any) -> Part:
    """Without what is not known: FHIR has no empty string, list or object."""
    return {name: value for name, value in parts.items() if value not in (None, "", [], {})}


def resource(kind: str, key: UUID | str, **parts: Any) -> Part:
    return {"resourceType": kind, "id": str(key), **told(**parts)}


def urn(key: UUID | str) -> str:
    return f"urn:uuid:{key}"


def part_of(key: UUID | str, name: str) -> UUID:
    """The id of a second resource made from one row: the same in every export."""
    return uuid5(UUID(str(key)), name)


def ref(kind: str, key: UUID | str, name: str = "") -> Part:
    return told(reference=urn(key), type=kind, display=text(name))


def text(words: str) -> str:
    return FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", words).strip()


def note(words: str, **about: Any) -> list[Part]:
    """An annotation as the list that resources take; none without words."""
    return [told(text=text(words), **about)] if text(words) else []


def concept(of: str, code: str, display: str) -> Part:
    coding = {"system": OWN + of, "code": code, "display": text(display)}
    return {"coding": [coding], "text": text(display)}


def quantity(value: float, unit: str) -> Part:
    """The number as the record holds it: never rounded, never another unit."""
    name, code = UNITS[unit]
    return {"value": value, "unit": name, "system": UCUM, "code": code}


def moment(at: datetime | None) -> str | None:
    """With its offset; that of UTC is a Z, as most systems write it."""
    return at.isoformat().replace("+00:00", "Z") if at else None


def day(on: date | None) -> str | None:
    return on.isoformat() if on else None


def wall_clock(said: str, offset_min: int) -> datetime:
    """A phone's wall clock with the offset it told: never recomputed."""
    return datetime.fromisoformat(said).replace(tzinfo=timezone(timedelta(minutes=offset_min)))


def lasting(start: datetime, minutes: float) -> Part:
    try:
        end = (start + timedelta(minutes=minutes)).replace(microsecond=0)
    except OverflowError:  # a clock that stands in the year 9999
        end = None
    return told(start=moment(start), end=moment(end))


def references_in(part: object) -> list[str]:
    """Every reference that a resource makes, at any depth."""
    if isinstance(part, Mapping):
        own = [part["reference"]] if isinstance(part.get("reference"), str) else []
        return own + [one for value in part.values() for one in references_in(value)]
    if isinstance(part, list):
        return [one for value in part for one in references_in(value)]
    return []
