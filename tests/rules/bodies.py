"""Bodies as a phone freezes them: the least that is valid of each kind, and more."""

import json

from tests.entries import BOUT, FACTS_SAME, skin

ID = "0192f0a0-0000-7000-8000-000000000001"
OTHER_ID = "0192f0a0-0000-7000-8000-000000000002"

LEAST = {
    "bout": BOUT | {"intensity": [], "exercises": []},
    "skin_check": skin(),
    "not_done": {"ordinal": 1, "reason": "forgot"},
    "morning_check": {"swelling": "none", "knee_pain": 0},
    "stop_report": {"symptoms": ["chest_pain"]},
    "note_to_clinic": {"text": "x", "wants_contact": False},
    "correction": {"of": ID, "payload": {"ordinal": 1, "reason": "ill"}, "reason": "x"},
    "withdrawal": {"of": ID, "reason": "x"},
}
MOST = {
    "bout": BOUT
    | {
        "ended_early": "stimulator",
        "minutes": 240,
        "contractions": 600,
        "intensity": [
            {"channel": 1, "value": 200, "unit": "mA"},
            {"channel": 8, "value": 999, "unit": "level"},
        ],
        "exercises": ["x" * 40] * 10,
        "discomfort": 10,
        "knee_pain_before": 10,
        "knee_pain_after": 0,
        "note": "ü" * 1000,
    },
    "skin_check": {
        "bout_id": ID,
        "moment": "next_morning",
        "pads": [
            {"pad": pad, "facts": FACTS_SAME | {"colour": "marked", "pattern": "patchy"}}
            for pad in ("upper_outer", "lower_inner", "upper_inner", "lower_outer")
        ],
    },
    "not_done": {"ordinal": 10, "reason": "other"},
    "morning_check": {"swelling": "much", "knee_pain": 10},
    "stop_report": {"symptoms": ["chest_pain", "fever", "pop", "other"]},
    "note_to_clinic": {"text": "膝" * 2000, "wants_contact": True},
    "correction": {"of": ID, "payload": BOUT, "reason": "r" * 300},
    "withdrawal": {"of": ID, "reason": "r" * 300},
}


def body(kind: str = "not_done", payload: object = None, **changes) -> dict:
    return {
        "id": ID,
        "phone_id": OTHER_ID,
        "number": 1,
        "kind": kind,
        "schema": 1,
        "episode_id": None,
        "revision_id": None,
        "for_date": "2030-03-04",
        "local_time": "2030-03-04T20:15:00",
        "offset_min": -300,
        "zone": "America/New_York",
        "device_ms": 1_898_903_700_000,
        "clock_changed": False,
        "logged_by": {"who": "patient"},
        "payload": LEAST[kind] if payload is None else payload,
    } | changes


def frozen(kind: str = "not_done", payload: object = None, **changes) -> str:
    return json.dumps(body(kind, payload, **changes))


def without(said: dict, field: str) -> dict:
    return {name: value for name, value in said.items() if name != field}
