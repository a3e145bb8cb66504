"""What becomes of entries that are as they should be."""

import json

import pytest
from django.db import connection
from django.utils import timezone

from homeprogram.models import Bout, Entry, EntryKind, Flag, HeldEntry, Hold, PatientDay, SkinCheck
from homeprogram.selectors.record import log_identity
from tests.conftest import PairedPhone
from tests.entries import BOUT, entry_id, skin
from tests.support.concurrency import at_once, committed
from tests.support.pushes import outcomes

EVERY_KIND = {
    "bout": BOUT,
    "skin_check": skin(),
    "not_done": {"ordinal": 1, "reason": "no_time"},
    "morning_check": {"swelling": "some", "knee_pain": 4},
    "stop_report": {"symptoms": ["numb"]},
    "note_to_clinic": {"text": "Where do the pads go?", "wants_contact": True},
    "correction": {
        "of": "00000000-0000-4000-8000-000000000001",
        "payload": BOUT,
        "reason": "mistyped",
    },
    "withdrawal": {"of": "00000000-0000-4000-8000-000000000002", "reason": "not mine"},
}


def program_of(revision) -> dict:
    return {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}


def bout_of(phone, revision, *, body=None, **payload):
    return phone.entry("bout", BOUT | payload, **program_of(revision), **(body or {}))


def test_a_bout_is_stored_and_counted(phone, revision):
    entry = bout_of(phone, revision)

    reply = phone.push(entry)

    assert outcomes(reply) == ["stored"]
    assert reply["Content-Type"] == "application/vnd.boutwise.receipt+json"
    assert Bout.objects.get().complete
    assert PatientDay.objects.get().bouts_done == 1


@pytest.mark.parametrize("kind", EntryKind.values)
def test_every_kind_is_stored_as_it_came(phone, revision, patient, kind):
    entry = phone.entry(kind, EVERY_KIND[kind], **program_of(revision))

    assert outcomes(phone.push(entry)) == ["stored"]

    row = Entry.objects.get()
    assert (row.raw, row.sha256) == (entry["body"], entry["sha256"])
    assert (row.kind, row.number, row.for_date.isoformat()) == (kind, 1, "2030-03-05")
    assert row.payload == EVERY_KIND[kind]
    assert row.patient == patient
    assert (row.episode, row.revision) == (revision.program.episode, revision)


def test_letters_of_every_script_come_through(phone):
    text = 'Knie schmerzt — 膝が痛い 🦵 "quoted" \\ \u202e\n'
    phone.push(phone.entry("note_to_clinic", {"text": text, "wants_contact": False}))

    assert Entry.objects.get().payload["text"] == text


def test_receipts_name_every_item_in_order(phone, revision, patient):
    entries = [bout_of(phone, revision, contractions=n) for n in (15, 3, 9)]
    phone.push(entries[1])

    receipts = phone.push(*entries).json()["receipts"]

    assert [r["id"] for r in receipts] == [entry_id(one) for one in entries]
    assert [r["sha256"] for r in receipts] == [one["sha256"] for one in entries]
    assert [r["outcome"] for r in receipts] == ["stored", "already", "stored"]
    rows = {str(row.entry_id): row.version for row in Entry.objects.all()}
    assert {r["id"]: r["version"] for r in receipts} == rows
    assert all("reason" not in receipt for receipt in receipts)


def test_the_answer_echoes_the_nonce_and_names_the_log(phone):
    before = int(timezone.now().timestamp() * 1000)

    answer = phone.push(nonce="aq-17").json()

    assert answer["nonce"] == "aq-17"
    assert answer["log_identity"] == str(log_identity())
    assert before <= answer["server_ms"] <= int(timezone.now().timestamp() * 1000)
    assert answer["limits"] == {"entries": 250, "bytes": 262_144}
    assert answer["retry_after_s"] is None
    assert set(answer) == {
        "log_identity", "nonce", "receipts", "high", "gaps", "server_ms", "limits",
        "retry_after_s",
    }  # fmt: skip


def test_a_resend_is_answered_already(phone, revision):
    entry = bout_of(phone, revision)
    first = phone.push(entry).json()["receipts"][0]

    again = phone.push(entry).json()["receipts"][0]

    assert again == first | {"outcome": "already"}
    assert Entry.objects.count() == 1
    assert Bout.objects.count() == 1


def test_the_same_entry_twice_in_one_push_is_one_row(phone, revision):
    entry = bout_of(phone, revision)

    assert outcomes(phone.push(entry, entry)) == ["stored", "already"]
    assert Entry.objects.count() == 1


def test_another_content_under_the_same_id_is_held_beside_the_first(phone, revision):
    first = bout_of(phone, revision)
    other = bout_of(phone, revision, body={"id": entry_id(first)}, discomfort=9)
    phone.push(first)

    (receipt,) = phone.push(other).json()["receipts"]

    assert (receipt["outcome"], receipt["reason"]["code"]) == ("held", "id_taken")
    assert receipt["id"] == entry_id(first)
    assert Entry.objects.get().raw == first["body"]
    assert HeldEntry.objects.get().raw == other["body"]


def test_a_number_used_twice_holds_the_second(phone, revision):
    entries = [bout_of(phone, revision, body={"number": 7}, discomfort=n) for n in (1, 2)]

    receipts = phone.push(*entries).json()["receipts"]

    assert [r["outcome"] for r in receipts] == ["stored", "held"]
    assert receipts[1]["reason"]["code"] == "number_taken"


def test_a_number_used_in_an_earlier_push_is_taken(phone, revision):
    entries = [bout_of(phone, revision, body={"number": 7}, discomfort=n) for n in (1, 2)]
    phone.push(entries[0])

    assert outcomes(phone.push(entries[1])) == ["held"]


def test_two_phones_count_their_own_numbers(phone, revision, patient, clinician, now):
    tablet = PairedPhone(patient, clinician, now, label="tablet", replaces=False)

    both = [one.push(bout_of(one, revision, body={"number": 1})) for one in (phone, tablet)]

    assert [outcomes(reply) for reply in both] == [["stored"], ["stored"]]
    assert PatientDay.objects.get().bouts_done == 2


def test_an_entry_relayed_by_another_phone_is_known_already(
    phone, revision, patient, clinician, now
):
    tablet = PairedPhone(patient, clinician, now, label="tablet", replaces=False)
    entry = bout_of(phone, revision, body={"number": 40})
    phone.push(entry)

    answer = tablet.push(entry).json()

    assert answer["receipts"][0]["outcome"] == "already"
    assert (answer["high"], answer["gaps"]) == (0, [])


def test_what_was_held_while_damaged_is_stored_when_it_comes_whole(phone, revision):
    whole = bout_of(phone, revision)
    damaged = whole | {"body": whole["body"].replace('"minutes": 15', '"minutes": 16')}

    assert outcomes(phone.push(damaged)) == ["held"]
    assert outcomes(phone.push(damaged)) == ["held"]
    assert outcomes(phone.push(whole)) == ["stored"]
    assert HeldEntry.objects.count() == 1


def test_texts_sent_under_one_wrong_hash_are_all_kept(phone, revision):
    entries = [bout_of(phone, revision, discomfort=n) | {"sha256": "0" * 64} for n in (1, 2, 3)]

    assert outcomes(phone.push(*entries)) == ["held"] * 3
    assert {held.raw for held in HeldEntry.objects.all()} == {one["body"] for one in entries}


def test_a_raised_patch_places_a_hold_and_a_flag(phone, revision):
    entry = phone.entry(
        "skin_check", skin(raised=True), episode_id=str(revision.program.episode_id)
    )

    phone.push(entry)

    assert Hold.objects.get().scope == "limb"
    assert Flag.objects.get().reason == "skin_reaction"
    assert SkinCheck.objects.get().grade == 3


@pytest.mark.parametrize(
    ("symptoms", "limb", "hold"),
    [
        (["chest_pain"], True, ("all", "emergency")),
        (["numb", "fever"], True, ("all", "same_day")),
        (["pop", "numb"], True, ("limb", "surgeon")),
        (["numb"], True, ("limb", "clinic")),
        (["numb"], False, ("all", "clinic")),
    ],
)
def test_a_stop_report_holds_as_far_as_its_symptoms_reach(phone, episode, symptoms, limb, hold):
    named = str(episode.id) if limb else None

    phone.push(phone.entry("stop_report", {"symptoms": symptoms}, episode_id=named))

    placed = Hold.objects.get()
    assert (placed.scope, placed.reason) == hold
    assert Flag.objects.get().reason == "stop_report"


def test_a_hold_does_not_wait_for_a_phones_wrong_clock(phone):
    phone.push(phone.entry("stop_report", {"symptoms": ["fever"]}, for_date="2099-01-01"))

    assert Hold.objects.get().first_day == timezone.now().date()


def test_a_bout_logged_under_a_hold_is_stored(phone, revision):
    phone.push(phone.entry("stop_report", {"symptoms": ["chest_pain"]}))

    assert outcomes(phone.push(bout_of(phone, revision))) == ["stored"]
    assert Bout.objects.count() == 1


def test_a_late_log_of_an_ended_program_is_kept(phone, revision, now):
    from homeprogram.services.programs import program_end

    program_end(program=revision.program, by=revision.created_by, reason="course complete", now=now)

    assert outcomes(phone.push(bout_of(phone, revision))) == ["stored"]
    assert PatientDay.objects.get().bouts_done == 1


def test_a_bout_on_a_paused_day_is_kept(phone, revision, clinician, now):
    from datetime import date

    from homeprogram.services.programs import program_pause

    program_pause(
        program=revision.program,
        by=clinician,
        reason="illness",
        now=now,
        first_day=date(2030, 3, 5),
    )

    assert outcomes(phone.push(bout_of(phone, revision))) == ["stored"]
    assert PatientDay.objects.get().bouts_done == 1


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31"])
def test_an_absurd_day_disturbs_nobody(phone, revision, day):
    entries = [
        bout_of(phone, revision, body={"for_date": day}),
        phone.entry("stop_report", {"symptoms": ["fever"]}, for_date=day),
        bout_of(phone, revision),
    ]

    phone.push(*entries)

    assert Entry.objects.count() + HeldEntry.objects.count() == 3
    assert phone.push(bout_of(phone, revision)).status_code == 200


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_one_push_sent_many_times_at_once_is_stored_once(django_db_setup, django_db_blocker):
    from homeprogram.services.patients import patient_add
    from tests.conftest import make_clinic, make_clinician, make_program

    with committed(django_db_blocker):
        now = timezone.now()
        clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        patient = patient_add(by=clinician, name="Wilma Tarn", now=now)
        revision = make_program(patient, clinician, now)
        phone = PairedPhone(patient, clinician, now)
        entries = [bout_of(phone, revision) for _ in range(5)]

        replies = at_once(8, lambda _: phone.push(*entries))

        words = sorted(word for reply in replies for word in outcomes(reply))
        assert words == ["already"] * 35 + ["stored"] * 5
        assert Entry.objects.count() == 5
        patient.refresh_from_db()
        versions = patient.changes.order_by("version").values_list("version", flat=True)
        assert list(versions) == list(range(1, patient.log_version + 1))
        assert json.loads(replies[0].content)["high"] == 5
