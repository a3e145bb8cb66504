"""What a phone hears, in which order, and what it never hears."""

import gzip
import json
from datetime import date

import pytest
from django.utils import timezone

from homeprogram.models import Change
from homeprogram.selectors.record import log_identity
from homeprogram.services.changes import texts_announce
from homeprogram.services.clinics import log_identity_draw
from homeprogram.services.flags import patient_flags_refresh
from homeprogram.services.holds import hold_lift
from homeprogram.services.patients import patient_add
from homeprogram.services.programs import program_end, program_pause
from tests.conftest import PairedPhone, make_program
from tests.entries import BOUT, entry_id, skin
from tests.support.pushes import outcomes

NOBODY = "00000000-0000-4000-8000-000000000009"
MORNING = {"swelling": "none", "knee_pain": 2}
REVISION_KEYS = {
    "id", "number", "first_day", "effective_from", "weekdays", "bouts_per_day", "minimum_gap_h",
    "contractions_per_bout", "bout_min", "on_s", "off_s", "ramp_up_s", "ramp_down_s",
    "ramps_inside_on", "frequency_hz", "phase_duration_us", "waveform", "intensity", "unit",
    "stimulator_name", "knee_angle_deg", "knee_range", "position", "exercises", "pads",
    "electrode_cm2", "voluntary_in_off", "reason", "created_on",
}  # fmt: skip


def changes(phone, kind: str | None = None, cursor: str = "") -> list[dict]:
    """Every page from the cursor on."""
    found, more = [], True
    while more:
        page = phone.pull(cursor).json()
        found, cursor, more = found + page["changes"], page["cursor"], page["more"]
    return [change for change in found if kind in (None, change["type"])]


def cursor_now(phone) -> str:
    page = phone.pull().json()
    while page["more"]:
        page = phone.pull(page["cursor"]).json()
    return page["cursor"]


@pytest.fixture
def morning(phone, episode):
    return lambda **body: phone.entry("morning_check", MORNING, episode_id=str(episode.id), **body)


def test_a_new_phone_hears_texts_and_program(phone):
    page = phone.pull().json()

    assert set(page) == {"log_identity", "cursor", "more", "changes"}
    assert [(c["version"], c["type"]) for c in page["changes"]] == [(1, "texts"), (2, "program")]
    assert page["more"] is False
    assert page["log_identity"] == str(log_identity())


def test_the_texts_are_the_clinics(phone):
    texts = changes(phone, "texts")[0]["texts"]

    assert set(texts) == {
        "clinic_name", "clinic_phone", "clinic_hours", "out_of_hours", "emergency_number",
        "zone", "skin", "knee", "stop", "hold", "cautions", "in", "pads_uses", "pads_warn",
    }  # fmt: skip
    assert set(texts["in"]) == {"es"}
    assert set(texts["in"]["es"]) == {"skin", "knee", "stop", "hold", "cautions"}
    assert texts["clinic_phone"] == "01632 960 001"
    assert texts["emergency_number"] == "112"
    assert set(texts["skin"]) == {"0", "1", "2", "3", "4"}
    assert set(texts["stop"]) == {"emergency", "same_day", "surgeon", "clinic"}
    assert set(texts["hold"]) == {"limb", "all"}
    assert texts["cautions"]


def test_the_seconds_of_a_movement_come_with_its_exercise(phone, patient, clinician, now):
    make_program(
        patient, clinician, now, limb="right", details={"tempos": {"quad_set": [3, 4, 2.5]}}
    )

    (told,) = changes(phone, "program")[-1]["program"]["revisions"]

    (exercise,) = told["exercises"]
    assert exercise["tempo"] == {"lift_s": 3, "hold_s": 4, "lower_s": 2.5}
    assert exercise.keys() == {"code", "name", "contraction_type", "how", "ours", "tempo"}


def test_the_program_says_exactly_what_the_phone_needs(phone, revision, episode):
    program = changes(phone, "program")[0]["program"]

    assert set(program) == {"id", "state", "ended_on", "episode", "pauses", "revisions"}
    assert program["episode"] == {
        "id": str(episode.id),
        "limb": "left",
        "pathway": "conservative",
        "procedure": "",
        "surgery_on": None,
    }
    (told,) = program["revisions"]
    assert set(told) == REVISION_KEYS
    assert told["id"] == str(revision.id)
    assert (told["first_day"], told["effective_from"]) == ("2030-03-05", None)
    assert told["intensity"] == [{"channel": 1, "start": 20, "floor": 30, "ceiling": 60}]
    assert (told["unit"], told["knee_angle_deg"], told["knee_range"]) == ("mA", 65, None)
    assert told["exercises"] == [
        {
            "code": "quad_set",
            "name": "Tighten the thigh",
            "contraction_type": "isometric",
            "how": "Push the knee down and hold.",
            "ours": False,
        }
    ]


def test_a_pause_and_an_end_are_told_with_the_program(phone, revision, clinician, now):
    pause = program_pause(
        program=revision.program,
        by=clinician,
        reason="illness",
        now=now,
        last_day=date(2030, 3, 8),
        safety=True,
    )
    program_end(program=revision.program, by=revision.created_by, reason="moved away", now=now)

    program = changes(phone, "program")[0]["program"]

    assert program["pauses"] == [
        {
            "id": str(pause.id),
            "first_day": "2030-03-04",
            "last_day": "2030-03-08",
            "reason": "illness",
            "safety": True,
        }
    ]
    assert (program["state"], program["ended_on"]) == ("ended", "2030-03-04")


def test_nothing_new_is_no_change_and_the_same_place(phone):
    cursor = cursor_now(phone)

    page = phone.pull(cursor).json()

    assert (page["changes"], page["cursor"], page["more"]) == ([], cursor, False)


def test_entries_are_told_as_they_came_in_the_order_they_were_committed(phone, morning):
    cursor = cursor_now(phone)
    entries = [morning() for _ in range(3)]
    phone.push(entries[2])
    phone.push(entries[0], entries[1])

    told = changes(phone, "entry", cursor)

    assert [c["entry"]["body"] for c in told] == [entries[place]["body"] for place in (2, 0, 1)]
    assert [c["entry"]["sha256"] for c in told] == [entries[n]["sha256"] for n in (2, 0, 1)]
    assert [c["version"] for c in told] == [3, 4, 5]


def test_pages_hold_two_hundred_and_leave_nothing_out(phone, morning):
    entries = [morning() for _ in range(250)]
    phone.push(*entries)
    phone.push(*[morning() for _ in range(200)])

    pages, cursor = [], ""
    while not pages or pages[-1]["more"]:
        pages.append(phone.pull(cursor).json())
        cursor = pages[-1]["cursor"]

    assert [len(page["changes"]) for page in pages] == [200, 200, 52]
    versions = [change["version"] for page in pages for change in page["changes"]]
    assert versions == list(range(1, 453))


def test_exactly_two_hundred_changes_are_one_page(phone, morning):
    phone.push(*[morning() for _ in range(198)])

    page = phone.pull().json()

    assert (len(page["changes"]), page["more"]) == (200, False)


def test_a_thing_changed_twice_is_told_once_as_it_is_now(phone, revision, clinician, now, clinic):
    program_pause(program=revision.program, by=clinician, reason="illness", now=now)
    program_end(program=revision.program, by=revision.created_by, reason="moved away", now=now)
    texts_announce(clinic=clinic)

    told = phone.pull().json()["changes"]

    assert [(c["version"], c["type"]) for c in told] == [(4, "program"), (5, "texts")]
    assert told[0]["program"]["state"] == "ended"


def test_a_cursor_of_another_copy_of_the_log_starts_from_zero(phone, morning, now):
    phone.push(morning())
    cursor = cursor_now(phone)
    old = phone.pull(cursor).json()
    log_identity_draw(now=now)

    new = phone.pull(cursor).json()

    assert old["changes"] == []
    assert [c["version"] for c in new["changes"]] == [1, 2, 3]
    assert new["log_identity"] != old["log_identity"]


@pytest.mark.parametrize("cursor", ["", "nonsense", ".", "a.b", "-1", f"{NOBODY}.2", "9" * 99])
def test_a_cursor_nobody_gave_starts_from_zero(phone, cursor):
    reply = phone.pull(cursor)

    assert reply.status_code == 200
    assert [c["version"] for c in reply.json()["changes"]] == [1, 2]


@pytest.mark.parametrize("place", ["-1", "x", "1.5", "²", ""])
def test_a_broken_place_in_this_log_starts_from_zero(phone, place):
    reply = phone.pull(f"{log_identity()}.{place}")

    assert [c["version"] for c in reply.json()["changes"]] == [1, 2]


def test_a_place_beyond_the_end_hears_nothing(phone):
    reply = phone.pull(f"{log_identity()}.{10**30}")

    assert reply.status_code == 200
    assert reply.json()["changes"] == []


def test_other_patients_of_the_same_clinic_are_never_heard(phone, revision, clinician, now):
    other = patient_add(by=clinician, name="Odd Other", now=now)
    strange = PairedPhone(other, clinician, now)
    theirs = make_program(other, clinician, now)
    strange.push(
        strange.entry("stop_report", {"symptoms": ["fever"]}),
        strange.entry("song", {}),
        strange.entry("bout", BOUT, episode_id=str(theirs.program.episode_id),
                      revision_id=str(theirs.id)),
    )  # fmt: skip

    mine, heard = phone.pull(), strange.pull()

    assert [(c["version"], c["type"]) for c in mine.json()["changes"]] == [
        (1, "texts"),
        (2, "program"),
    ]
    assert mine.json()["cursor"] == f"{log_identity()}.2"
    assert len(heard.json()["changes"]) == 6
    for secret in (strange.id, theirs.id, theirs.program_id, theirs.program.episode_id):
        assert str(secret) not in mine.content.decode()


def test_a_hold_and_its_lift_name_the_entries(phone, episode, patient, clinician, now):
    entry = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
    other = phone.entry("stop_report", {"symptoms": ["fever"]})
    phone.push(entry, other)
    holds = list(patient.holds.order_by("scope"))

    lift = hold_lift(patient=patient, by=clinician, holds=holds[1:], reason="healed", now=now)

    told = {c["hold"]["entry_id"]: c["hold"] for c in changes(phone, "hold")}
    assert set(told) == {entry_id(entry), entry_id(other)}
    limb = told[entry_id(entry)]
    assert (limb["scope"], limb["episode_id"], limb["reason"]) == (
        "limb",
        str(episode.id),
        "skin_grade_3",
    )
    assert told[entry_id(other)]["scope"] == "all"
    assert set(limb) == {
        "id",
        "entry_id",
        "scope",
        "episode_id",
        "reason",
        "first_day",
        "placed_at",
    }
    assert changes(phone, "lift")[0]["lift"] == {
        "id": str(lift.id),
        "covers": [entry_id(entry)],
        "reason": "healed",
        "lifted_at": "2030-03-04T09:00:00+00:00",
    }


def test_a_held_entry_is_told_with_its_reason(phone):
    entry = phone.entry("song", {})
    phone.push(entry)

    (told,) = changes(phone, "entry_state")

    assert (told["id"], told["state"]) == (entry_id(entry), "held")
    assert told["reason"]["code"] == "kind_unknown"
    assert told["reason"]["message"]


def test_what_has_no_name_is_passed_over_and_the_next_change_heard(phone, morning):
    cursor = cursor_now(phone)
    entry = morning()
    phone.push({"body": "{", "sha256": "0" * 64}, entry)

    told = changes(phone, None, cursor)

    assert [c["type"] for c in told] == ["entry"]
    assert told[0]["entry"]["body"] == entry["body"]


def test_the_second_phone_hears_what_the_first_sent(phone, morning, patient, clinician, now):
    tablet = PairedPhone(patient, clinician, now, label="tablet", replaces=False)
    entry = morning()
    phone.push(entry)

    assert [c["entry"]["body"] for c in changes(tablet, "entry")] == [entry["body"]]


def test_flags_and_what_clinicians_think_are_not_told(phone, episode, patient):
    phone.push(phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id)))
    patient_flags_refresh(patient_id=patient.id, now=timezone.now())

    assert "flag" not in phone.pull().content.decode()


def test_a_pull_changes_nothing(phone, morning):
    phone.push(morning())
    before = Change.objects.count()

    first, second = (phone.pull().json() for _ in range(2))

    assert first == second
    assert Change.objects.count() == before


def test_only_get_is_answered(phone):
    reply = phone.http.post("/api/v1/sync/pull/", {}, format="json", headers={"X-Boutwise": "1"})

    assert reply.status_code == 405


def test_a_push_after_the_copy_was_replaced_names_the_new_log(phone, morning, now):
    fresh = log_identity_draw(now=now)

    reply = phone.push(morning())

    assert outcomes(reply) == ["stored"]
    assert reply.json()["log_identity"] == str(fresh.identity)


def test_a_phone_that_takes_gzip_hears_the_same_in_fewer_bytes(phone):
    plain = phone.pull()
    packed = phone.http.get("/api/v1/sync/pull/", headers={"Accept-Encoding": "gzip"})

    assert packed["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(packed.content)) == plain.json()
    assert len(packed.content) < len(plain.content)
