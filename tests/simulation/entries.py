"""What patients say, drawn from a seed: mostly sound, at times what no form would let through."""

import json
import random

from tests.entries import BOUT, skin

SYMPTOMS = ("calf_pain", "numb", "pop", "fever", "skin_burn")
FACTS = ("raised", "itchy", "sore", "broken")
TEXTS = ("swollen again", "Müde, aber gut 🦵", "x" * 900, "a “quoted” line\nand another", "ok")


def bout(rng: random.Random) -> dict:
    return BOUT | {
        "contractions": rng.choice([0, 5, 11, 12, 15, 20]),
        "minutes": rng.choice([0.1, 0.2, 7, 15]),
        "intensity": [{"channel": 1, "value": rng.choice([20, 30, 61]), "unit": "mA"}],
        "discomfort": rng.randint(0, 10),
    }


def skin_check(rng: random.Random) -> dict:
    facts = {rng.choice(FACTS): True} if rng.random() < 0.3 else {}
    return skin(rng.choice(["before", "after", "next_morning"]), **facts)


MORE = (
    {},
    {"pads": "new"},
    {"pads": "wont_stick"},
    {"changed": ["medicine"]},
    {"changed": ["operation", "implant"]},
)


def note(rng: random.Random) -> dict:
    """At times it tells of pads, or of a change; one in twenty holds all bouts."""
    said = {"text": rng.choice(TEXTS), "wants_contact": rng.random() < 0.2}
    # Drawn aside, so that the worlds on record stay the worlds they were.
    aside = random.Random()
    aside.setstate(rng.getstate())
    (more,) = aside.choices(MORE, weights=[8, 4, 4, 3, 1])
    return said | more


MAKERS = {
    "bout": bout,
    "skin_check": skin_check,
    "not_done": lambda rng: {"ordinal": 1, "reason": rng.choice(["pain", "no_time"])},
    "morning_check": lambda rng: {"swelling": "some", "knee_pain": rng.randint(0, 10)},
    "stop_report": lambda rng: {"symptoms": [rng.choice(SYMPTOMS)]},
    "note_to_clinic": note,
}
WEIGHTS = {
    "bout": 10,
    "skin_check": 4,
    "not_done": 3,
    "morning_check": 2,
    "stop_report": 1,
    "note_to_clinic": 2,
}
ANY_LIMB = ("stop_report", "note_to_clinic")


def draw(rng: random.Random) -> tuple[str, dict]:
    (kind,) = rng.choices(list(WEIGHTS), weights=list(WEIGHTS.values()))
    return kind, MAKERS[kind](rng)


def amendment(rng: random.Random, of: str, kind: str) -> tuple[str, dict]:
    if rng.random() < 0.3:
        return "withdrawal", {"of": of, "reason": "not mine"}
    said = {"of": of, "payload": MAKERS[kind](rng), "reason": "mistyped"}
    return "correction", said


def poison(rng: random.Random) -> tuple[str, dict]:
    """Saved by a form that is broken: the store takes it, the clinic can not use it."""
    return rng.choice(
        [
            ("song", {"verse": 1}),
            ("bout", {"minutes": "long"}),
            ("note_to_clinic", {"text": "nul \x00 in it", "wants_contact": False}),
            ("note_to_clinic", {"text": "half \ud83e of a pair", "wants_contact": False}),
            ("note_to_clinic", {"text": "y" * 20_000, "wants_contact": False}),
            ("stop_report", {"symptoms": []}),
            ("morning_check", {"swelling": "some", "knee_pain": 1e300}),
        ]
    )


def planted(rng: random.Random) -> dict:
    """{body, hash}: as another release of the app, or a broken one, would have stored it."""
    frozen = {
        "id": "$ID", "phone_id": "$PHONE", "kind": "morning_check", "schema": 1,
        "episode_id": None, "revision_id": None, "for_date": "2030-03-06",
        "local_time": "2030-03-06T08:20:00", "offset_min": 0, "zone": "UTC",
        "device_ms": 1_899_015_600_000, "clock_changed": False,
        "logged_by": {"who": "patient"}, "payload": {"text": "hm", "wants_contact": False},
    }  # fmt: skip
    changed = rng.choice(
        [
            {"schema": 2, "kind": "note_to_clinic"},
            {"kind": "a_kind_of_2031"},
            {"kind": "note_to_clinic", "for_date": "2030-13-45"},
            {"kind": "note_to_clinic", "zone": "Mars/Olympus Mons"},
            {"kind": "bout", "episode_id": "0190a000-0000-7000-8000-0000000000e1", "payload": BOUT},
            None,
            "hash",
        ]
    )
    if changed is None:
        return {"body": "no JSON at all, number $NUMBER of $PHONE, $ID"}
    if changed == "hash":
        changed = {"kind": "note_to_clinic"}
        return {"body": _text(frozen | changed), "hash": "ab" * 32}
    return {"body": _text(frozen | changed)}


def _text(body: dict) -> str:
    return json.dumps(body)[:-1] + ', "number": $NUMBER}'
