"""Reads the JSON body of one entry, frozen on the phone, into checked values.

Raises InvalidEntry (the clinic then holds the entry) and never guesses: a value
outside its bounds is kept as said, in custody, not corrected.
"""

import json
import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import TypeVar
from uuid import UUID

from homeprogram.calc import limits
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.calc.text_forms import day_of, second_as_said, uuid_of
from homeprogram.calc.upcasts import upcast
from homeprogram.errors import InvalidEntry

T = TypeVar("T")
DEPTH_MAX = 12  # a corrected skin check needs 6; deeper cannot be stored safely
SHA256 = re.compile(r"[0-9a-f]{64}")
ZONE = re.compile(r"[A-Za-z0-9_+\-/]{1,64}")


@dataclass(frozen=True, slots=True)
class EntryBody:
    """One entry as the phone froze it, every field of the right kind."""

    id: UUID
    phone_id: UUID
    number: int
    kind: str
    schema: int
    episode_id: UUID | None
    revision_id: UUID | None
    for_date: date
    local_time: str
    offset_min: int
    zone: str
    device_ms: int
    clock_changed: bool
    logged_by: dict
    payload: dict


def read_body(raw: str) -> EntryBody:
    """The entry in `raw`; raises InvalidEntry with a code and a sentence."""
    if len(raw.encode(errors="surrogatepass")) > limits.ENTRY_BYTES_MAX:
        raise InvalidEntry("This entry is too long.", code="entry_too_long")
    body = _object(raw)
    # The schema tells how the rest is to be read.
    schema = _read(body, "schema", _positive)
    body = _current(body, schema)
    kind = _read(body, "kind", _known_kind)
    return EntryBody(
        id=_read(body, "id", uuid_of),
        phone_id=_read(body, "phone_id", uuid_of),
        number=_read(body, "number", _positive),
        kind=kind,
        schema=schema,
        episode_id=_read(body, "episode_id", _uuid_or_none),
        revision_id=_read(body, "revision_id", _uuid_or_none),
        for_date=_read(body, "for_date", day_of),
        local_time=_read(body, "local_time", second_as_said),
        offset_min=_read(body, "offset_min", _offset),
        zone=_read(body, "zone", _zone_name),
        device_ms=_read(body, "device_ms", _millis),
        clock_changed=_read(body, "clock_changed", _yes_no),
        logged_by=_read(body, "logged_by", _logged_by),
        payload=PAYLOADS[kind](body.get("payload")),
    )


def claimed(raw: str) -> dict:
    """What little of a bad body can be read: {id, phone_id, number, for_date}, None where not.

    Any spelling will do here: a day that can be guessed at all must not be
    called missed while its entry lies in custody.
    """
    try:
        body = _object(raw)
    except InvalidEntry:
        return {"id": None, "phone_id": None, "number": None, "for_date": None}
    return {
        "id": _or_none(UUID, body.get("id")),
        "phone_id": _or_none(UUID, body.get("phone_id")),
        "number": _or_none(_positive, body.get("number")),
        "for_date": _or_none(date.fromisoformat, body.get("for_date")),
    }


def storable(text: str) -> bool:
    """PostgreSQL text holds neither NUL nor half a surrogate pair."""
    return "\x00" not in text and not any("\ud800" <= char <= "\udfff" for char in text)


def _object(raw: str) -> dict:
    try:
        body = json.loads(raw, parse_constant=_no_constant, parse_float=_finite)
        sound = isinstance(body, dict) and all(map(storable, _texts(body)))
    except (ValueError, RecursionError):
        sound = False
    if not sound:
        raise InvalidEntry("This entry is not readable.", code="entry_unreadable")
    return body


def _texts(value: object, room: int = DEPTH_MAX) -> Iterator[str]:
    if not room:
        raise ValueError("nested too deeply")
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for item in value:
            yield from _texts(item, room - 1)
    elif isinstance(value, dict):
        yield from value
        for item in value.values():
            yield from _texts(item, room - 1)


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is not JSON")


def _finite(digits: str) -> float:
    """JSON may write numbers no float holds; what cannot be stored is not read."""
    value = float(digits)
    if not math.isfinite(value):
        raise ValueError(f"{digits} is too large")
    return value


def _read(body: dict, field: str, kind: Callable[[object], T]) -> T:
    try:
        return kind(body[field])
    except (KeyError, TypeError, ValueError, AttributeError):
        raise InvalidEntry(
            f"This entry has no usable {field}.", fields={field: "missing"}
        ) from None


def _or_none(kind: Callable, value: object) -> object:
    try:
        return kind(value)
    except (TypeError, ValueError, AttributeError):
        return None


def _known_kind(value: object) -> str:
    if value not in PAYLOADS:
        message = "This kind of entry is not known here yet."
        raise InvalidEntry(message, code="kind_unknown", fields={"kind": message})
    return value


def _current(body: dict, schema: int) -> dict:
    try:
        return upcast(body, schema)
    except KeyError:
        message = "This entry's form is not known here yet."
        raise InvalidEntry(message, code="schema_unknown", fields={"schema": message}) from None


def _yes_no(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError
    return value


def _whole(value: object, low: int, high: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise ValueError
    return value


def _positive(value: object) -> int:
    return _whole(value, 1, 2**31 - 1)


def _offset(value: object) -> int:
    return _whole(value, -14 * 60, 14 * 60)


def _millis(value: object) -> int:
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return _whole(value, 0, 2**53)


def _uuid_or_none(value: object) -> UUID | None:
    return None if value is None else uuid_of(value)


def _zone_name(value: str) -> str:
    if not ZONE.fullmatch(value):
        raise ValueError
    return value


def _logged_by(value: dict) -> dict:
    if value.get("who") == "patient":
        return {"who": "patient"}
    name = value.get("name")
    if value.get("who") == "helper" and isinstance(name, str) and 1 <= len(name.strip()) <= 60:
        return {"who": "helper", "name": name.strip()}
    raise ValueError
