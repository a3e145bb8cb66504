"""A signed note: drawn from the log, signed by a person, never changed, only added to."""

import json
from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError

from clinician.models import Addendum, SignedNote
from clinician.selectors.note_draft import note_draft
from clinician.services.signed_notes import addendum_sign, note_sign
from homeprogram.errors import RuleBroken
from homeprogram.models import Decision, Patient
from homeprogram.services.programs import program_pause
from tests.entries import BOUT, skin
from tests.support.pushes import push_at

DAY = timedelta(days=1)


def draft(patient, now):
    return note_draft(patient=Patient.objects.get(id=patient.id), now=now)


def sign(patient, by, now, **changes) -> SignedNote:
    drawn = changes.pop("drawn", None) or draft(patient, now).drawn
    values = {
        "about_on": now.date(),
        "assessment": "Doing well.",
        "plan": "Carry on.",
        "objective": drawn.objective,
    }
    return note_sign(patient=patient, by=by, now=now, drawn=drawn, **values | changes)


@pytest.fixture
def logged(phone, revision, now):
    """A bout with words of the patient's own, and a skin check, on 5 March."""
    about = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    push_at(phone, now, have=[revision.id])
    push_at(
        phone,
        now + 2 * DAY,
        phone.entry("bout", BOUT | {"note": "Easier on the stairs."}, **about),
        phone.entry("skin_check", skin(colour="slight", pattern="even"), **about),
        claim=True,
    )
    return now + 2 * DAY


def test_the_objective_part_gives_its_days_and_its_cut_off(patient, logged):
    drawn = draft(patient, logged).drawn

    assert (drawn.first, drawn.last) == ("2030-02-27", "2030-03-06")
    assert "Wed 27 Feb 2030 to Wed 6 Mar 2030, as known on Wed 6 Mar 2030, 09:00 (UTC)" in (
        drawn.objective
    )


def test_the_objective_part_gives_the_figures_of_each_limb(patient, logged):
    text = draft(patient, logged).drawn.objective

    assert "LEFT, week 1, no surgery planned" in text
    assert "bouts 1 of 1" in text
    assert "discomfort 3 of 10" in text
    assert "current channel 1: 40 mA" in text
    assert "worst grade 1 of 4, after the bout, Tue 5 Mar" in text


def test_the_subjective_part_is_the_patients_words_and_nothing_else(patient, logged):
    assert draft(patient, logged).subjective == "Tue 5 Mar: “Easier on the stairs.”"


def test_a_helpers_words_name_the_helper(patient, phone, now):
    note = {"text": "She sleeps well.", "wants_contact": False}
    gus = {"who": "helper", "name": "Gus"}
    push_at(phone, now + DAY, phone.entry("note_to_clinic", note, logged_by=gus))

    said = draft(patient, now + DAY).subjective

    assert said == "Tue 5 Mar, written by Gus: “She sleeps well.”"


def test_words_that_were_taken_back_are_not_quoted(patient, phone, now):
    note = phone.entry("note_to_clinic", {"text": "Wrong.", "wants_contact": False})
    gone = {"of": json.loads(note["body"])["id"], "reason": "mistake"}
    push_at(phone, now + DAY, note, phone.entry("withdrawal", gone))

    assert draft(patient, now + DAY).subjective == ""


def test_the_next_draft_begins_where_the_last_note_ended(patient, clinician, revision, now):
    sign(patient, clinician, now)

    assert draft(patient, now + 10 * DAY).drawn.first == "2030-03-04"
    assert draft(patient, now + 60 * DAY).drawn.first == "2030-04-05"  # four weeks at most


def test_a_note_says_who_signed_in_which_role_and_when_by_which_clock(
    patient, clinician, revision, now
):
    note = sign(patient, clinician, now)

    assert (note.signer_name, note.signer_role) == ("Ro Desk", "clinician")
    assert (note.signed_at, note.zone) == (now, "UTC")


def test_a_note_that_is_sent_twice_is_one_note(patient, clinician, revision, now):
    drawn = draft(patient, now).drawn
    first = sign(patient, clinician, now, drawn=drawn)

    again = sign(patient, clinician, now + timedelta(seconds=1), drawn=drawn)

    assert again == first
    assert SignedNote.objects.count() == Decision.objects.filter(kind="note").count() == 1


@pytest.mark.parametrize("later", [{"plan": "Call on Friday."}, {"about_on": date(2030, 3, 3)}])
def test_other_words_from_the_same_page_are_another_note(patient, clinician, now, later):
    drawn = draft(patient, now).drawn
    sign(patient, clinician, now, drawn=drawn)

    sign(patient, clinician, now, drawn=drawn, **later)

    assert SignedNote.objects.count() == 2


@pytest.mark.parametrize(("day", "late"), [(4, False), (3, False), (2, True)])
def test_a_note_signed_after_the_day_after_is_late(patient, clinician, now, day, late):
    assert sign(patient, clinician, now, about_on=date(2030, 3, day)).late is late


def test_no_note_is_about_a_day_to_come(patient, clinician, revision, now):
    with pytest.raises(RuleBroken) as refusal:
        sign(patient, clinician, now, about_on=now.date() + DAY)

    assert refusal.value.code == "note_day_to_come"


@pytest.mark.parametrize("part", ["assessment", "plan"])
def test_what_one_thinks_and_plans_is_a_persons_to_write(patient, clinician, revision, now, part):
    with pytest.raises(ValidationError):
        sign(patient, clinician, now, **{part: "  "})


def test_what_the_machine_drew_stands_beside_what_was_signed(patient, clinician, revision, now):
    note = sign(patient, clinician, now, objective="My own words.")

    assert note.objective == "My own words."
    assert note.drawn["objective"].startswith("Mon 25 Feb 2030 to Mon 4 Mar 2030")


def test_an_addendum_leaves_the_note_as_it_was(patient, clinician, revision, now):
    note = sign(patient, clinician, now)

    addendum_sign(note=note, by=clinician, text="It was the other knee.", now=now + DAY)

    assert SignedNote.objects.get().assessment == "Doing well."
    assert Addendum.objects.get().text == "It was the other knee."


def test_the_plan_begins_with_what_was_decided_since_the_last_note(
    patient, clinician, revision, now
):
    program_pause(program=revision.program, by=clinician, reason="travel", now=now, note="Sea.")

    assert draft(patient, now).plan == "Paused LEFT: From Mon 4 Mar 2030, travel. Sea."

    sign(patient, clinician, now + DAY / 2)
    assert draft(patient, now + DAY / 2).plan == ""
