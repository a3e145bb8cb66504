"""One item the clinic cannot use is held alone; its neighbours are stored."""

import hashlib
import json
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from homeprogram.models import Entry, HeldEntry
from tests.conftest import PairedPhone, make_program
from tests.entries import BOUT, skin
from tests.support.faults import refused
from tests.support.pushes import outcomes, push_escaped

UNREADABLE = "entry_unreadable"
MORNING = {"swelling": "none", "knee_pain": 2}
SOMEWHERE = "00000000-0000-4000-8000-000000000009"


def frozen(text: str) -> dict:
    """Any text with its right hash."""
    return {
        "body": text,
        "sha256": hashlib.sha256(text.encode(errors="surrogatepass")).hexdigest(),
    }


def changed(entry: dict, old: str, new: str) -> dict:
    assert old in entry["body"]
    return frozen(entry["body"].replace(old, new))


def note(text: str):
    return lambda phone: phone.entry("note_to_clinic", {"text": text, "wants_contact": False})


def bout(**payload):
    return lambda phone: phone.entry(
        "bout", BOUT | payload, episode_id=phone.episode_id, revision_id=phone.revision_id
    )


def corrected(payload: object):
    said = {"of": SOMEWHERE, "payload": payload, "reason": "mistyped"}
    return lambda phone: phone.entry("correction", said, episode_id=phone.episode_id)


def morning(**body):
    return lambda phone: phone.entry(
        "morning_check", MORNING, **{"episode_id": phone.episode_id} | body
    )


def altered(old: str, new: str, make=None):
    return lambda phone: changed((make or bout())(phone), old, new)


# What is wrong -> (how it is made, the code it is held with)
POISON = {
    "unknown kind": (lambda p: p.entry("song", {}, episode_id=p.episode_id), "kind_unknown"),
    "unknown schema": (morning(schema=99), "schema_unknown"),
    "no payload": (
        lambda p: changed(morning()(p), json.dumps(MORNING), "null"), "payload_invalid",
    ),
    "foreign limb": (morning(episode_id=str(uuid4())), "episode_unknown"),
    "no limb": (morning(episode_id=None), "episode_missing"),
    "foreign patient's program": (
        lambda p: bout()(p) | changed(bout()(p), p.revision_id, p.foreign_revision_id),
        "revision_unknown",
    ),
    "another phone's entry": (
        lambda p: changed(morning()(p), str(p.id), SOMEWHERE),
        "other_phone",
    ),
    "NUL": (altered("TEXT", "\x00", note("TEXT")), UNREADABLE),
    "NUL, escaped": (note("a\x00b"), UNREADABLE),
    "half a surrogate pair": (altered("TEXT", "\ud83e", note("TEXT")), UNREADABLE),
    "half a surrogate pair, escaped": (altered("TEXT", r"\ud83e", note("TEXT")), UNREADABLE),
    "not a number": (altered('"minutes": 15', '"minutes": NaN'), UNREADABLE),
    "infinite": (altered('"minutes": 15', '"minutes": -Infinity'), UNREADABLE),
    "beyond any float": (altered('"minutes": 15', '"minutes": 1e999'), UNREADABLE),
    "400 digits": (bout(minutes=10**400), "payload_invalid"),
    "5,000 digits": (altered('"minutes": 15', f'"minutes": {"9" * 5000}'), UNREADABLE),
    "below zero": (bout(contractions=-1), "payload_invalid"),
    "discomfort 11 of 10": (bout(discomfort=11), "payload_invalid"),
    "100 kilobytes": (note("x" * 100_000), "entry_too_long"),
    "16 kilobytes of letters": (note("膝" * 5_400), "entry_too_long"),
    "deeply nested": (lambda p: frozen('{"a":' * 2000 + "1" + "}" * 2000), UNREADABLE),
    "nested in a correction": (
        corrected(json.loads('{"a":' * 300 + "1" + "}" * 300)), UNREADABLE,
    ),
    "not JSON": (lambda p: frozen("{bout"), UNREADABLE),
    "a list": (lambda p: frozen("[]"), UNREADABLE),
    "nothing": (lambda p: frozen(""), UNREADABLE),
    "number 0": (altered('"number": ', '"number": 0.', morning()), "entry_invalid"),
    "no such day": (altered("2030-03-05", "2030-02-30", morning()), "entry_invalid"),
    "two ids for one day": (altered("2030-03-05", "20300305", morning()), "entry_invalid"),
    "damaged": (lambda p: morning()(p) | {"sha256": "0" * 64}, "hash_mismatch"),
}  # fmt: skip
# Odd, but the clinic can keep it as an entry: it must not disturb either.
ODD = {
    "correction of nobody knows what": corrected({"symptoms": 5, "pads": None}),
    "correction to an unknown symptom": corrected({"symptoms": ["sorcery"]}),
    "correction with broken pads": corrected({"pads": [1, "x", {}]}),
    "correction of itself": lambda p: p.entry(
        "withdrawal", {"of": SOMEWHERE, "reason": "x"}, id=SOMEWHERE
    ),
    "huge number in a correction": corrected({"minutes": 10**300}),
    "skin check of a strange pad": lambda p: p.entry(
        "correction",
        {"of": SOMEWHERE, "payload": skin() | {"pads": [{"pad": "toe"}]}, "reason": "x"},
    ),
}


@pytest.fixture
def sender(phone, revision, outsider, now) -> PairedPhone:
    """The phone with what its entries name, and another clinic's program."""
    from homeprogram.services.patients import patient_add

    foreign = make_program(patient_add(by=outsider, name="Una Far", now=now), outsider, now)
    phone.foreign_revision_id = str(foreign.id)
    phone.episode_id = str(revision.program.episode_id)
    phone.revision_id = str(revision.id)
    return phone


@pytest.mark.parametrize("what", POISON)
def test_it_is_held_with_a_reason_and_kept_word_for_word(sender, what):
    make, code = POISON[what]
    item = make(sender)

    (receipt,) = push_escaped(sender, item).json()["receipts"]

    assert (receipt["outcome"], receipt["reason"]["code"]) == ("held", code)
    assert receipt["sha256"] == item["sha256"]
    held = HeldEntry.objects.get()
    assert held.version == receipt["version"]
    assert item["body"] in {held.raw, json.loads(held.raw) if held.raw[:1] == '"' else None}
    assert not Entry.objects.exists()


@pytest.mark.parametrize("what", ["not JSON", "a list", "nothing", "deeply nested", "NUL"])
def test_what_has_no_readable_name_is_receipted_by_its_hash(sender, what):
    item = POISON[what][0](sender)

    (receipt,) = push_escaped(sender, item).json()["receipts"]

    assert (receipt["id"], receipt["sha256"]) == (None, item["sha256"])


@pytest.mark.parametrize("what", POISON)
def test_it_is_held_once_however_often_it_is_sent(sender, what):
    item = POISON[what][0](sender)

    first, second = (push_escaped(sender, item).json()["receipts"] for _ in range(2))

    assert first == second
    assert HeldEntry.objects.count() == 1


@pytest.mark.parametrize("what", ODD)
def test_what_is_odd_but_readable_is_stored(sender, what):
    assert outcomes(push_escaped(sender, ODD[what](sender))) == ["stored"]


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(what=st.sampled_from([*POISON, *ODD]), place=st.integers(0, 99))
def test_its_99_neighbours_are_stored_wherever_it_stands(sender, what, place):
    make = POISON[what][0] if what in POISON else ODD[what]
    good = [morning()(sender) for _ in range(99)]
    entries, held = Entry.objects.count(), HeldEntry.objects.count()

    answer = push_escaped(sender, *good[:place], make(sender), *good[place:])

    words = outcomes(answer)
    mine = words.pop(place)
    assert words == ["stored"] * 99
    assert mine in ({"held", "already"} if what in POISON else {"stored", "already", "held"})
    assert Entry.objects.count() - entries == 99 + (mine == "stored")
    assert HeldEntry.objects.count() - held <= (mine == "held")


def test_what_the_tables_refuse_is_held_and_the_rest_stored(sender):
    items = [morning()(sender) for _ in range(5)]

    with refused("homeprogram_entry", "NEW.number = 3"):
        answer = push_escaped(sender, *items)

    receipts = answer.json()["receipts"]
    assert [r["outcome"] for r in receipts] == ["stored", "stored", "held", "stored", "stored"]
    assert receipts[2]["reason"]["code"] == "entry_refused"
    assert HeldEntry.objects.get().raw == items[2]["body"]
    versions = [r["version"] for r in receipts]
    assert versions == list(range(versions[0], versions[0] + 5))


def test_what_the_tables_refuse_may_come_again(sender):
    item, other = morning()(sender), morning()(sender)

    with refused("homeprogram_entry", "NEW.number = 1"):
        words = [outcomes(push_escaped(sender, item, other)) for _ in range(2)]
    later = outcomes(push_escaped(sender, item))

    assert words == [["held", "stored"], ["held", "already"]]
    assert later == ["stored"]


def test_the_repeat_of_what_the_tables_refuse_is_not_called_already(sender):
    item = morning()(sender)

    with refused("homeprogram_entry"):
        words = outcomes(push_escaped(sender, item, item))

    assert words == ["held", "held"]
    assert HeldEntry.objects.count() == 1
