"""Entries of a log as the rules see them, short enough to tell a story in one line each."""

from datetime import UTC, datetime

from homeprogram.calc.readings import Logged
from tests.entries import BOUT
from tests.rules.build import MONDAY

RECEIVED = datetime(2030, 3, 4, 20, 0, tzinfo=UTC)


def entry(name: str, kind: str, payload: dict, number: int = 1, **changes) -> Logged:
    values = {
        "id": name,
        "kind": kind,
        "number": number,
        "episode_id": "left",
        "revision_id": "revision-1",
        "for_date": MONDAY,
        "of": payload.get("of"),
        "payload": payload,
        "received_at": RECEIVED,
    }
    return Logged(**values | changes)


def bout(name: str = "bout", number: int = 1, **said) -> Logged:
    return entry(name, "bout", BOUT | said, number)


def correction(name: str, of: str, number: int = 2, **said) -> Logged:
    """A correction of a bout; `said` is what it now tells."""
    payload = {"of": of, "payload": BOUT | said, "reason": "Slip"}
    return entry(name, "correction", payload, number)


def withdrawal(name: str, of: str, number: int = 2) -> Logged:
    return entry(name, "withdrawal", {"of": of, "reason": "Twice"}, number)
