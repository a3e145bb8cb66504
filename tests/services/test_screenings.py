"""Screenings are recorded whole, and no dose gets past them."""

from datetime import date, timedelta

import pytest

from homeprogram.calc.screening import Answer
from homeprogram.errors import RuleBroken
from homeprogram.models import HomeProgram, Screening, SurgeonLimit
from homeprogram.selectors.record import stimulators_of_clinic
from homeprogram.selectors.screenings import standing_of_episode
from homeprogram.services.patients import episode_add
from homeprogram.services.programs import pause_end, program_assign, program_pause, revision_add
from homeprogram.services.screenings import (
    screening_record,
    surgeon_limit_end,
)
from tests.conftest import make_dose, make_screening
from tests.support.prescribing import make_limit

TODAY = date(2030, 3, 4)
CLOT = {"active_dvt": Answer(present=True)}


@pytest.fixture
def unscreened(patient, now):
    return episode_add(
        patient=patient, limb="left", pathway="conservative", starts_on=TODAY, now=now
    )


def assign(episode, clinician, now):
    return program_assign(
        episode=episode,
        by=clinician,
        dose=make_dose(),
        stimulator=stimulators_of_clinic(clinic=episode.clinic)[0],
        first_day=now.date() + timedelta(days=1),
        reason="first dose",
        now=now,
    )


def revise(revision, clinician, now):
    return revision_add(
        program=revision.program,
        by=clinician,
        dose=make_dose(),
        stimulator=revision.stimulator,
        first_day=now.date() + timedelta(days=1),
        reason="progress",
        now=now,
    )


def refusal_of(action, *args, **kwargs) -> RuleBroken:
    with pytest.raises(RuleBroken) as refusal:
        action(*args, **kwargs)
    return refusal.value


def test_it_keeps_every_answer_and_the_outcome(unscreened, clinician, now):
    opinion = Answer(
        present=True, note="Agreed.", opinion_by="Dr Ama Lind", opinion_on=date(2030, 3, 1)
    )

    make_screening(unscreened, clinician, now, active_implant=opinion)

    kept = Screening.objects.get()
    assert (kept.outcome, kept.recorded_by, len(kept.answers)) == (
        "with_precautions",
        clinician,
        27,
    )
    assert kept.answers["active_implant"] == {
        "present": True,
        "note": "Agreed.",
        "opinion_by": "Dr Ama Lind",
        "opinion_on": "2030-03-01",
    }
    assert not kept.answers["epilepsy"]["present"]


def test_a_gap_is_named_and_nothing_is_kept(unscreened, clinician, now):
    refusal = refusal_of(
        screening_record,
        episode=unscreened,
        by=clinician,
        on=TODAY,
        occasion="first",
        answers={},
        now=now,
    )

    assert refusal.code == "screening_incomplete"
    assert len(refusal.fields) == 27
    assert not Screening.objects.exists()


def test_it_is_not_on_a_day_to_come(unscreened, clinician, now):
    opinion = Answer(
        present=True, note="Agreed.", opinion_by="Dr Ama Lind", opinion_on=date(2030, 3, 5)
    )

    refusal = refusal_of(make_screening, unscreened, clinician, now, malignancy=opinion)

    assert (refusal.code, list(refusal.fields)) == ("screening_day_to_come", ["malignancy"])
    assert not Screening.objects.exists()


def test_no_dose_without_a_screening(unscreened, clinician, now):
    assert refusal_of(assign, unscreened, clinician, now).code == "screening_missing"
    assert not HomeProgram.objects.exists()


def test_no_dose_against_a_screening(unscreened, clinician, now):
    make_screening(unscreened, clinician, now, **CLOT)

    refusal = refusal_of(assign, unscreened, clinician, now)

    assert refusal.code == "screening_do_not_use"
    assert "Deep vein thrombosis or thrombophlebitis now" in refusal.message


def test_the_latest_screening_counts(unscreened, clinician, now):
    make_screening(unscreened, clinician, now, **CLOT)
    make_screening(unscreened, clinician, now + timedelta(days=9), "other")

    assert assign(unscreened, clinician, now + timedelta(days=9)).number == 1


def test_a_screening_of_the_other_limb_is_no_screening(revision, patient, clinician, now):
    other = episode_add(
        patient=patient, limb="right", pathway="conservative", starts_on=TODAY, now=now
    )

    assert refusal_of(assign, other, clinician, now).code == "screening_missing"


def test_a_program_is_not_revised_against_its_latest_screening(revision, episode, clinician, now):
    make_screening(episode, clinician, now + timedelta(days=1), "change_told", **CLOT)

    refusal = refusal_of(revise, revision, clinician, now + timedelta(days=1))

    assert refusal.code == "screening_do_not_use"


def test_after_a_stop_report_one_screens_before_one_revises(
    revision, episode, phone, clinician, now
):
    from tests.support.pushes import push_at

    later = now + timedelta(days=2)
    push_at(phone, later, phone.entry("stop_report", {"symptoms": ["numb"]}))

    assert refusal_of(revise, revision, clinician, later).code == "screening_due"
    make_screening(episode, clinician, later + timedelta(hours=1), "stop_report")
    assert revise(revision, clinician, later + timedelta(hours=1)).number == 2


CHANGED = {"text": "A new medicine.", "wants_contact": False, "changed": ["medicine"]}


def test_after_a_change_told_one_screens_before_one_revises(
    revision, episode, phone, clinician, now
):
    from tests.support.pushes import push_at

    later = now + timedelta(days=2)
    push_at(phone, later, phone.entry("note_to_clinic", CHANGED))

    standing = standing_of_episode(episode=episode, now=later)
    assert standing.due == ("change_told",)
    assert refusal_of(revise, revision, clinician, later).code == "screening_due"
    make_screening(episode, clinician, later + timedelta(hours=1), "change_told")
    assert revise(revision, clinician, later + timedelta(hours=1)).number == 2


def test_a_note_without_a_change_bars_nothing(revision, phone, clinician, now):
    from tests.support.pushes import push_at

    later = now + timedelta(days=2)
    note = {"text": "All well.", "wants_contact": False}
    push_at(phone, later, phone.entry("note_to_clinic", note))

    assert revise(revision, clinician, later).number == 2


def test_a_stay_in_hospital_is_a_notice_not_a_bar(revision, episode, clinician, now):
    later = now + timedelta(days=2)
    pause = program_pause(program=revision.program, by=clinician, reason="readmission", now=later)
    pause_end(pause=pause, by=pause.created_by, now=later + timedelta(days=1))

    standing = standing_of_episode(episode=episode, now=later + timedelta(days=1))

    assert (standing.due, standing.refusal) == (("readmission",), "")
    assert revise(revision, clinician, later + timedelta(days=1)).number == 2


def test_a_limit_is_kept_as_told(episode, clinician, now):
    limit = make_limit(episode, clinician, now, from_deg=0, to_deg=90)

    kept = SurgeonLimit.objects.get()
    assert (kept, kept.said_by, kept.to_deg) == (limit, "Dr Ama Lind", 90)


@pytest.mark.parametrize(
    ("odd", "answer"),
    [
        ({"last_day": date(2030, 3, 3)}, ("days_in_wrong_order", ["last_day"])),
        ({"from_deg": 90, "to_deg": 0}, ("angles_in_wrong_order", ["to_deg"])),
        ({"from_deg": 0, "to_deg": None}, ("angles_in_wrong_order", ["to_deg"])),
    ],
)
def test_an_odd_limit_is_refused(episode, clinician, now, odd, answer):
    refusal = refusal_of(make_limit, episode, clinician, now, **odd)

    assert (refusal.code, list(refusal.fields)) == answer
    assert not SurgeonLimit.objects.exists()


def test_a_limit_that_ended_stays_on_record(episode, clinician, now):
    limit = make_limit(episode, clinician, now)

    surgeon_limit_end(limit=limit, last_day=date(2030, 4, 1))

    assert SurgeonLimit.objects.get().last_day == date(2030, 4, 1)


def test_a_limit_does_not_end_before_it_starts(episode, clinician, now):
    limit = make_limit(episode, clinician, now)

    surgeon_limit_end(limit=limit, last_day=date(2030, 1, 1))

    assert SurgeonLimit.objects.get().last_day == TODAY
