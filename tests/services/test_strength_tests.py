"""Strength tests: computed once, kept as shown, shared only on purpose."""

from datetime import date, timedelta

import pytest

from homeprogram.calc.dose_errors import ImpossibleStrength
from homeprogram.errors import RuleBroken
from homeprogram.models import Change, Clinic, StrengthTest
from homeprogram.selectors.pull import changes_rendered
from homeprogram.selectors.strength_tests import course_start, newest_of_limb, weeks_at
from homeprogram.services.patients import episode_add
from homeprogram.services.strength_tests import strength_test_share
from tests.support.prescribing import make_strength_test

NOT_MAXIMAL = {"maximal": False, "cleared_on": None, "knee_angle_deg": None}


def refusal_of(episode, clinician, now, **changes) -> tuple[str, list[str]]:
    with pytest.raises(RuleBroken) as refusal:
        make_strength_test(episode, clinician, now, **changes)
    assert not StrengthTest.objects.exists()
    return refusal.value.code, list(refusal.value.fields)


def test_it_keeps_the_trials_and_what_they_came_to(episode, clinician, now):
    make_strength_test(episode, clinician, now)

    kept = StrengthTest.objects.get()
    assert kept.request["involved"] == [90, 100, 98]
    # Worked by hand: 100 of 125, 100 of 140, 100 Nm over 80 kg, 30 of 125 Nm.
    assert kept.result["lsi_pct"] == 80
    assert kept.result["epic_pct"] == 71.428571
    assert kept.result["nm_per_kg_involved"] == 1.25
    assert kept.result["evoked_pct_mvic"] == 24
    assert (kept.recorded_by, kept.shared_at) == (clinician, None)


def test_the_clinics_own_course_rules_count(episode, clinician, now):
    Clinic.objects.update(course={"lsi_pct": 95, "weeks_conservative": 2})
    episode.refresh_from_db()

    test = make_strength_test(episode, clinician, now)

    course = next(one for one in test.result["findings"] if one["code"] == "course")
    assert course["message"] == "Course not yet done: LSI 80 % is below 95 %."


def test_what_was_computed_stays_when_the_rules_change(episode, clinician, now):
    before = make_strength_test(episode, clinician, now).result

    Clinic.objects.update(course={"lsi_pct": 50})

    assert StrengthTest.objects.get().result == before


@pytest.mark.parametrize(
    ("said", "fields"),
    [
        ({"cleared_on": None}, ["cleared_on"]),
        ({"knee_angle_deg": None}, ["knee_angle_deg"]),
        ({"cleared_on": None, "knee_angle_deg": None}, ["cleared_on", "knee_angle_deg"]),
        ({"cleared_on": date(2030, 3, 5)}, ["cleared_on"]),
    ],
    ids=str,
)
def test_a_maximal_test_is_cleared_and_at_an_angle(episode, clinician, now, said, fields):
    assert refusal_of(episode, clinician, now, said=said) == ("test_not_cleared", fields)


def test_trials_that_were_not_maximal_are_no_trials(episode, clinician, now):
    refusal = refusal_of(episode, clinician, now, said=NOT_MAXIMAL)

    assert refusal == ("trials_not_maximal", ["maximal"])


def test_an_observed_contraction_stands_in(episode, clinician, now):
    said = NOT_MAXIMAL | {"request": None, "observed_contraction": "flicker"}

    test = make_strength_test(episode, clinician, now, said=said)

    assert (test.observed_contraction, test.request, test.result) == ("flicker", {}, {})


def test_an_evoked_force_of_the_other_limbs_mvic_needs_no_effort_of_the_knee(
    episode, clinician, now
):
    test = make_strength_test(episode, clinician, now, said=NOT_MAXIMAL, involved=[])

    assert test.result["evoked_pct_mvic"] == 24
    assert test.result["lsi_pct"] is None


def test_a_test_of_nothing_is_refused(episode, clinician, now):
    refusal = refusal_of(episode, clinician, now, said=NOT_MAXIMAL | {"request": None})

    assert refusal == ("test_empty", [])


def test_a_test_to_come_is_refused(episode, clinician, now):
    assert refusal_of(episode, clinician, now, on=date(2030, 3, 5)) == ("test_day_to_come", ["on"])


def test_a_slip_of_the_unit_is_refused_with_the_likely_value(episode, clinician, now):
    with pytest.raises(ImpossibleStrength) as refusal:
        make_strength_test(episode, clinician, now, lever_arm_m=30, unit="N")

    assert refusal.value.slips == [
        {"field": "lever_arm_m", "given": 30, "likely": 0.3, "unit": "m"}
    ]
    assert not StrengthTest.objects.exists()


def test_measures_are_kept_beside_it(episode, clinician, now):
    measures = {"flexion_deg": 110, "extension_lag_deg": 5, "knee_pain": 2, "shoe_size": 43}

    test = make_strength_test(episode, clinician, now, said={"measures": measures})

    assert (test.flexion_deg, test.extension_lag_deg, test.knee_pain) == (110, 5, 2)


def told_of(patient, test) -> list[dict]:
    changes = changes_rendered(patient=patient, after=0).changes
    return [one["strength_test"] for one in changes if one["type"] == "strength_test"]


def test_the_phone_hears_of_it_only_when_it_is_shared(episode, patient, clinician, now):
    test = make_strength_test(episode, clinician, now, involved=[99.9])
    assert told_of(patient, test) == []

    strength_test_share(test=test, now=now + timedelta(hours=1))

    told = told_of(patient, test)
    # 99.9 of 125 is 79.92 %: it must not reach the patient as 80.
    assert told == [
        {
            "id": str(test.id),
            "episode_id": str(episode.id),
            "on": "2030-03-04",
            "lsi_pct": 79,
        }
    ]


def test_an_index_nobody_can_rely_on_is_not_told(episode, patient, clinician, now):
    test = make_strength_test(episode, clinician, now, other_limb="detrained")

    strength_test_share(test=test, now=now)

    assert told_of(patient, test)[0]["lsi_pct"] is None


def test_sharing_again_says_nothing_new(episode, clinician, now):
    test = make_strength_test(episode, clinician, now)
    strength_test_share(test=test, now=now)

    strength_test_share(test=test, now=now + timedelta(days=1))

    assert StrengthTest.objects.get().shared_at == now
    assert Change.objects.filter(type="strength_test").count() == 1


def test_a_course_counts_from_the_first_day_of_its_program(revision, episode):
    assert course_start(episode=episode) == date(2030, 3, 5)


def test_without_a_program_it_counts_from_the_episode(patient, now):
    bare = episode_add(
        patient=patient, limb="right", pathway="conservative", starts_on=date(2030, 2, 1), now=now
    )

    assert course_start(episode=bare) == date(2030, 2, 1)


@pytest.mark.parametrize(
    ("on", "weeks"),
    [
        (date(2030, 3, 4), None),
        (date(2030, 3, 5), 0),
        (date(2030, 3, 18), 1),
        (date(2030, 3, 19), 2),
    ],
)
def test_weeks_are_whole_ones_that_have_passed(on, weeks):
    assert weeks_at(on, since=date(2030, 3, 5)) == weeks


def test_the_same_limb_of_an_earlier_episode_is_remembered(episode, patient, clinician, now):
    from homeprogram.services.programs import program_end

    test = make_strength_test(episode, clinician, now)
    program_end(program=episode.program, by=clinician, reason="surgery", now=now)
    later, other = (
        episode_add(
            patient=patient,
            limb=limb,
            pathway="post_operative",
            surgery_on=now.date(),
            starts_on=now.date(),
            now=now,
        )
        for limb in ("left", "right")
    )

    assert newest_of_limb(episode=later) == test
    assert newest_of_limb(episode=other) is None
