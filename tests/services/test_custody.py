"""Entries in custody: looked at again, used on a clinician's word, told to the phone."""

import json
from datetime import timedelta
from pathlib import Path

import pytest

from homeprogram.errors import RuleBroken
from homeprogram.models import Bout, Entry, Flag, HeldEntry
from homeprogram.services.custody import held_look_again, held_use
from homeprogram.services.pairing import phone_revoke
from tests.conftest import PairedPhone
from tests.entries import BOUT, refrozen, skin
from tests.support.faults import refused
from tests.support.pushes import push_at

LATER = timedelta(days=1)


def bout(phone, revision, **body):
    names = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    return phone.entry("bout", BOUT, **names | body)


@pytest.fixture
def held(phone, revision, now) -> HeldEntry:
    """A sound bout that the tables would not take that day."""
    with refused("homeprogram_entry"):
        push_at(phone, now, bout(phone, revision))
    return HeldEntry.objects.get()


def states(phone) -> list[tuple]:
    changes = phone.pull().json()["changes"]
    return [(one["id"], one["state"]) for one in changes if one["type"] == "entry_state"]


def test_what_can_be_used_now_goes_into_the_log_with_all_that_follows(held, now):
    assert held_look_again(now=now + LATER) == 1

    held.refresh_from_db()
    assert Entry.objects.get().sha256 == held.sha256
    assert Bout.objects.get().contractions == BOUT["contractions"]
    assert (held.settled_at, held.settled_by) == (now + LATER, None)
    assert Flag.objects.get(reason="held_entry").state == "cleared"


def test_a_second_look_finds_nothing_to_do(held, now):
    held_look_again(now=now)

    assert held_look_again(now=now) == 0
    assert Entry.objects.count() == 1


def test_the_phone_hears_that_its_entry_is_in_the_log_after_all(held, phone, now):
    before = states(phone)
    held_look_again(now=now)

    assert before == [(str(held.entry_id), "held")]
    assert states(phone) == [(str(held.entry_id), "stored")]


def test_a_skin_reaction_found_at_the_second_look_raises_its_hold_and_flag(
    phone, episode, patient, now
):
    check = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
    with refused("homeprogram_entry"):
        push_at(phone, now, check)

    held_look_again(now=now + LATER)

    assert patient.holds.count() == 1
    assert Flag.objects.get(reason="skin_reaction").state == "open"


def test_what_still_cannot_be_used_stays_held_as_it_was(phone, now):
    push_at(phone, now, phone.entry("song", {"verse": 1}))

    assert held_look_again(now=now + LATER) == 0
    (held,) = HeldEntry.objects.all()
    assert (held.code, held.settled_at) == ("kind_unknown", None)


def test_one_unusable_entry_keeps_no_neighbour_out(held, phone, now):
    push_at(phone, now, phone.entry("song", {}))

    assert held_look_again(now=now + LATER) == 1


def test_an_entry_of_a_replaced_phone_waits_for_a_person(phone, revision, clinician, now):
    phone_revoke(phone=phone.row, state="replaced", now=now)
    push_at(phone, now, bout(phone, revision))
    held = HeldEntry.objects.get()

    assert held_look_again(now=now) == 0
    held_use(held=held, by=clinician, now=now + LATER)

    held.refresh_from_db()
    assert Entry.objects.get().phone_id == phone.id
    assert held.settled_by == clinician


def test_a_text_that_cannot_be_stored_as_it_came_is_never_taken_for_another(phone, clinician, now):
    push_at(phone, now, refrozen('{"kind": "note", "text": "\x00"}'))
    held = HeldEntry.objects.get()

    with pytest.raises(RuleBroken, match="still cannot be used"):
        held_use(held=held, by=clinician, now=now)
    assert HeldEntry.objects.count() == 1


def test_an_entry_that_cannot_be_used_is_refused_with_its_reason(phone, clinician, now):
    push_at(phone, now, phone.entry("song", {}))

    with pytest.raises(RuleBroken, match="kind of entry is not known") as refusal:
        held_use(held=HeldEntry.objects.get(), by=clinician, now=now)
    assert refusal.value.code == "held_unusable"


def test_an_entry_is_used_once(held, clinician, now):
    held_use(held=held, by=clinician, now=now)

    with pytest.raises(RuleBroken, match="settled already"):
        held_use(held=held, by=clinician, now=now)


def test_what_a_phone_brings_again_once_it_can_be_used_leaves_custody(
    phone, revision, patient, clinician, now
):
    entry = bout(phone, revision)
    phone_revoke(phone=phone.row, state="replaced", now=now)
    push_at(phone, now, entry)
    again = PairedPhone(patient, clinician, now, standing=True)

    push_at(again, now + LATER, entry)

    held = HeldEntry.objects.get()
    assert Entry.objects.get().phone_id == phone.id
    assert (held.settled_at, held.settled_by) == (now + LATER, None)
    assert states(again) == [(str(held.entry_id), "stored")]
    assert Flag.objects.get(reason="held_entry").state == "cleared"


GOLDEN = Path(__file__).resolve().parents[2] / "fixtures" / "golden" / "push-protocol-1.json"


def test_a_push_of_the_first_release_is_taken_with_every_item_named(phone):
    push = json.loads(GOLDEN.read_text("utf-8"))["push"]

    reply = phone.http.post("/api/v1/sync/push/", push, format="json", headers={"X-Boutwise": "1"})

    told = reply.json()["receipts"]
    assert reply.status_code == 200
    assert [one["sha256"] for one in told] == [one["sha256"] for one in push["entries"]]
    # Written on a phone this clinic does not know: kept, and each says so.
    assert {(one["outcome"], one["reason"]["code"]) for one in told} == {("held", "other_phone")}
