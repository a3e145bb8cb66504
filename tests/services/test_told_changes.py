"""What a note may tell beside its text: a change of health, news of the pads."""

from datetime import timedelta

import pytest

from homeprogram.models import Flag, HeldEntry, Hold
from homeprogram.services.clinics import clinic_rules_set
from tests.entries import BOUT, entry_id
from tests.support.pushes import push_at

NOTE = {"text": "As told.", "wants_contact": False}


def open_flags() -> dict[str, dict]:
    return {flag.reason: flag.basis for flag in Flag.objects.filter(state="open")}


@pytest.mark.parametrize(
    ("changed", "holds"), [(["implant"], ["all"]), (["pregnancy"], ["all"]), (["illness"], [])]
)
def test_a_change_raises_a_safety_flag_and_perhaps_a_hold(phone, revision, now, changed, holds):
    push_at(phone, now, phone.entry("note_to_clinic", NOTE | {"changed": changed}))

    assert open_flags()["something_changed"]["what"] == changed
    assert Flag.objects.get(reason="something_changed").safety
    assert [hold.scope for hold in Hold.objects.all()] == holds


def test_taking_the_note_back_ends_neither(phone, revision, now):
    told = phone.entry("note_to_clinic", NOTE | {"changed": ["implant"]})
    push_at(phone, now, told)
    taken = {"of": entry_id(told), "reason": "Slip"}
    push_at(phone, now + timedelta(hours=1), phone.entry("withdrawal", taken))

    assert "something_changed" in open_flags()
    assert Hold.objects.filter(lift=None).count() == 1


@pytest.mark.parametrize(
    "more", [{"changed": []}, {"changed": ["shoes"]}, {"changed": "implant"}, {"pads": "old"}]
)
def test_a_note_that_says_what_nobody_knows_is_held(phone, revision, now, more):
    push_at(phone, now, phone.entry("note_to_clinic", NOTE | more))

    assert HeldEntry.objects.get().code == "payload_invalid"


def tell_pads(phone, episode, at, news: str):
    told = phone.entry(
        "note_to_clinic",
        NOTE | {"pads": news},
        episode_id=str(episode.id),
        for_date=at.date().isoformat(),
    )
    push_at(phone, at, told)


def do_bouts(phone, revision, at, count: int):
    day = at.date().isoformat()
    bouts = [
        phone.entry(
            "bout",
            BOUT | {"started_at": f"{day}T{8 + n:02}:00"},
            for_date=day,
            episode_id=str(revision.program.episode_id),
            revision_id=str(revision.id),
        )
        for n in range(count)
    ]
    push_at(phone, at, *bouts)


def test_worn_pads_are_a_card_until_new_ones_are_told(phone, revision, episode, clinician, now):
    clinic_rules_set(
        clinic=clinician.clinic, rules={"pads_uses": 6, "pads_warn": 2}, by=clinician, now=now
    )
    do_bouts(phone, revision, now, 3)
    assert "pads_due" not in open_flags()

    do_bouts(phone, revision, now + timedelta(days=1), 1)
    assert open_flags()["pads_due"]["uses"] == 4

    tell_pads(phone, episode, now + timedelta(days=2), "new")
    assert "pads_due" not in open_flags()


def test_pads_that_do_not_stick_are_a_card_of_their_limb(phone, revision, episode, now):
    tell_pads(phone, episode, now, "wont_stick")

    flag = Flag.objects.get(reason="pads_due")
    assert (flag.episode, flag.safety, flag.basis["wont_stick"]) == (episode, False, True)


def test_new_pads_taken_back_are_not_new(phone, revision, episode, clinician, now):
    clinic_rules_set(
        clinic=clinician.clinic, rules={"pads_uses": 6, "pads_warn": 2}, by=clinician, now=now
    )
    do_bouts(phone, revision, now, 4)
    later = now + timedelta(days=1)
    note = phone.entry(
        "note_to_clinic",
        NOTE | {"pads": "new"},
        episode_id=str(episode.id),
        for_date=later.date().isoformat(),
    )
    push_at(phone, later, note)
    assert "pads_due" not in open_flags()

    taken = {"of": entry_id(note), "reason": "Slip"}
    push_at(phone, later, phone.entry("withdrawal", taken))
    assert "pads_due" in open_flags()


def test_the_phones_hear_how_long_pads_last_when_it_changes(phone, clinician, patient, now):
    before = patient.changes.filter(type="texts").count()
    clinic_rules_set(clinic=clinician.clinic, rules={"no_contact_h": 72}, by=clinician, now=now)
    assert patient.changes.filter(type="texts").count() == before

    clinic_rules_set(clinic=clinician.clinic, rules={"pads_uses": 30}, by=clinician, now=now)
    assert patient.changes.filter(type="texts").count() == before + 1
