"""A phone's own file: into the log by id, twice the same, nothing of it lost."""

import json
from datetime import timedelta

import pytest

from homeprogram.errors import RuleBroken
from homeprogram.models import Bout, Entry, HeldEntry, Phone
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.patients import patient_add
from homeprogram.services.phone_files import FileTaken, phone_file_take
from tests.conftest import PairedPhone
from tests.entries import BOUT
from tests.support.pushes import push_at

MORNING = {"swelling": "none", "knee_pain": 2}


def bout(phone, revision, **body):
    names = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    return phone.entry("bout", BOUT, **names | body)


def file(*entries: dict, unnumbered=(), **changes) -> bytes:
    data = {
        "format": "boutwise-entries-1",
        "entries": [{"body": one["body"], "sha256": one["sha256"]} for one in entries],
        "unnumbered": list(unnumbered),
    }
    return json.dumps(data | changes).encode()


def test_the_entries_of_a_file_are_in_the_log_with_all_that_follows(phone, revision, patient, now):
    taken = phone_file_take(patient=patient, text=file(bout(phone, revision)), now=now)

    assert taken == FileTaken(stored=1, already=0, held=0)
    assert Bout.objects.get().contractions == BOUT["contractions"]


def test_a_file_read_twice_changes_nothing(phone, revision, patient, now):
    text = file(bout(phone, revision), bout(phone, revision))
    phone_file_take(patient=patient, text=text, now=now)

    assert phone_file_take(patient=patient, text=text, now=now) == FileTaken(0, 2, 0)
    assert Entry.objects.count() == 2


def test_a_file_read_after_the_phone_sent_after_all_changes_nothing(phone, revision, patient, now):
    entry = bout(phone, revision)
    push_at(phone, now, entry)

    assert phone_file_take(patient=patient, text=file(entry), now=now) == FileTaken(0, 1, 0)


def test_a_phone_that_sends_after_its_file_was_read_hears_already(phone, revision, patient, now):
    entry = bout(phone, revision)
    phone_file_take(patient=patient, text=file(entry), now=now)

    pushed = push_at(phone, now, entry, claim=True)

    assert [outcome.word for outcome in pushed.outcomes] == ["already"]
    assert (pushed.gaps, Phone.objects.get(id=phone.id).claim_at) == ([], now)


@pytest.mark.parametrize("state", ["replaced", "stolen"])
def test_a_gone_phones_file_counts_because_a_person_vouches_for_it(
    phone, revision, patient, now, state
):
    phone_revoke(phone=phone.row, state=state, now=now)

    taken = phone_file_take(patient=patient, text=file(bout(phone, revision)), now=now)

    assert taken.stored == 1


def test_what_was_saved_without_a_number_is_held_for_a_person(phone, episode, patient, now):
    loose = json.loads(phone.entry("morning_check", MORNING, episode_id=str(episode.id))["body"])
    del loose["number"]

    text = file(unnumbered=[loose])
    first = phone_file_take(patient=patient, text=text, now=now)
    again = phone_file_take(patient=patient, text=text, now=now)

    assert (first.held, again.held) == (1, 1)
    assert '"swelling": "none"' in HeldEntry.objects.get().raw


def test_another_patients_entries_are_held_not_mixed_in(phone, revision, clinician, now):
    other = patient_add(by=clinician, name="Osk Fenn", now=now, zone="UTC")
    PairedPhone(other, clinician, now)

    taken = phone_file_take(patient=other, text=file(bout(phone, revision)), now=now)

    assert taken == FileTaken(0, 0, 1)
    assert HeldEntry.objects.get().code == "other_phone"
    assert Entry.objects.count() == 0


def test_a_damaged_entry_is_held_and_its_neighbours_are_stored(phone, revision, patient, now):
    good, bad = bout(phone, revision), bout(phone, revision)
    bad = bad | {"body": bad["body"].replace("15", "14", 1)}

    taken = phone_file_take(patient=patient, text=file(bad, good), now=now)

    assert (taken.stored, taken.held) == (1, 1)


def test_a_long_file_is_taken_whole(phone, episode, patient, now):
    entries = [
        phone.entry("morning_check", MORNING, episode_id=str(episode.id)) for _ in range(600)
    ]

    assert phone_file_take(patient=patient, text=file(*entries), now=now).stored == 600


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"not json",
        b"\xff\xfe",
        b"[]",
        b"null",
        b"[" * 100_000,
        file(format="another-1"),
        file(entries=[{"body": 3, "sha256": "x"}]),
        file(entries=[{"body": "{}"}]),
        file(entries="all"),
        file(entries=[{"body": "{}", "sha256": "0" * 64}] * 5001),
    ],
    ids=[
        "empty",
        "no json",
        "no text",
        "a list",
        "null",
        "nested without end",
        "another format",
        "a number for a body",
        "no hash",
        "no list",
        "too many",
    ],
)
def test_what_no_phone_saved_is_refused_and_nothing_is_stored(phone, patient, now, text):
    with pytest.raises(RuleBroken) as refusal:
        phone_file_take(patient=patient, text=text, now=now)

    assert refusal.value.code == "phone_file_unreadable"
    assert HeldEntry.objects.count() == 0


def test_a_patient_without_any_phone_can_have_no_file(phone, revision, clinician, now):
    other = patient_add(by=clinician, name="Osk Fenn", now=now, zone="UTC")

    with pytest.raises(RuleBroken, match="no phone"):
        phone_file_take(
            patient=other, text=file(bout(phone, revision)), now=now + timedelta(days=1)
        )
