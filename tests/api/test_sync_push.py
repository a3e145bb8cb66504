from homeprogram.models import Bout, Entry, Flag, Hold, PatientDay
from tests.entries import BOUT, entry_id, skin


def bout_of(phone, revision, **payload):
    return phone.entry(
        "bout",
        BOUT | payload,
        episode_id=str(revision.program.episode_id),
        revision_id=str(revision.id),
    )


def test_a_bout_is_stored_and_counted(phone, revision):
    entry = bout_of(phone, revision)

    reply = phone.push(entry)

    assert reply.status_code == 200, reply.content
    assert reply["Content-Type"] == "application/vnd.boutwise.receipt+json"
    (receipt,) = reply.json()["receipts"]
    assert receipt["outcome"] == "stored"
    assert receipt["id"] == entry_id(entry)
    assert receipt["sha256"] == entry["sha256"]
    assert Bout.objects.get().complete
    assert PatientDay.objects.get().bouts_done == 1


def test_a_raised_patch_places_a_hold_and_a_flag(phone, revision):
    entry = phone.entry(
        "skin_check", skin(raised=True), episode_id=str(revision.program.episode_id)
    )

    phone.push(entry)

    assert Hold.objects.get().scope == "limb"
    assert Flag.objects.get().reason == "skin_reaction"


def test_a_resend_is_answered_already(phone, revision):
    entry = bout_of(phone, revision)
    phone.push(entry)

    reply = phone.push(entry)

    assert reply.json()["receipts"][0]["outcome"] == "already"
    assert Entry.objects.count() == 1
