"""Entries and pushes as a phone would make them."""

import hashlib
import json
import uuid
from datetime import UTC, datetime

FACTS_SAME = {
    "colour": "same",
    "pattern": None,
    "raised": False,
    "itchy": False,
    "sore": False,
    "broken": False,
}
BOUT = {
    "started_at": "2030-03-05T08:00",
    "ended_early": None,
    "minutes": 15,
    "contractions": 15,
    "intensity": [{"channel": 1, "value": 40, "unit": "mA"}],
    "exercises": ["quad_set"],
    "discomfort": 3,
    "knee_pain_before": 1,
    "knee_pain_after": 2,
}


def skin(moment: str = "after", **facts) -> dict:
    """A skin check of both usual pads; `facts` change the upper one."""
    return {
        "bout_id": None,
        "moment": moment,
        "pads": [
            {"pad": "upper_outer", "facts": FACTS_SAME | facts},
            {"pad": "lower_inner", "facts": dict(FACTS_SAME)},
        ],
    }


def make_entry(kind: str, payload: dict, *, phone_id: str, number: int, **body) -> dict:
    """A frozen entry with its hash: {body, sha256}."""
    frozen = {
        "id": str(uuid.uuid4()),
        "phone_id": phone_id,
        "number": number,
        "kind": kind,
        "schema": 1,
        "episode_id": None,
        "revision_id": None,
        "for_date": "2030-03-05",
        "local_time": "2030-03-05T08:20:00",
        "offset_min": 0,
        "zone": "UTC",
        "device_ms": 1_898_929_200_000,
        "clock_changed": False,
        "logged_by": {"who": "patient"},
        "payload": payload,
    }
    raw = json.dumps(frozen | body, ensure_ascii=False)
    return {"body": raw, "sha256": hashlib.sha256(raw.encode()).hexdigest()}


def entry_id(entry: dict) -> str:
    return json.loads(entry["body"])["id"]


def make_push(entries, *, high: int, claim=None, sent_ms: int | None = None, **message) -> dict:
    sent = sent_ms if sent_ms is not None else int(datetime.now(tz=UTC).timestamp() * 1000)
    if claim is True:
        claim = {"at_ms": sent, "offset_min": 0, "zone": "UTC", "high": high}
    return {
        "protocol": 1,
        "build": "test",
        "nonce": "n-1",
        "high": high,
        "have_revision": [],
        "entries": list(entries),
        "claim": claim,
        "sent_ms": sent,
    } | message


def refrozen(body: str) -> dict:
    """An item of exactly this text, with the hash that fits it."""
    return {"body": body, "sha256": hashlib.sha256(body.encode()).hexdigest()}
