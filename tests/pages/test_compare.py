"""Two revisions side by side: only what differs is marked."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from homeprogram.services.programs import revision_add
from tests.conftest import make_dose
from tests.support.reading import text_of


def add(revision, clinician, now, days: int = 2, **changes):
    return revision_add(
        program=revision.program,
        by=clinician,
        dose=make_dose(**changes),
        stimulator=revision.stimulator,
        first_day=now.date() + timedelta(days=days),
        reason="longer rests",
        now=now,
    )


@pytest.fixture
def second(revision, clinician, now):
    return add(revision, clinician, now, off_s=20, bout_min=7.5, weekdays=(0, 2, 4))


def address(revision) -> str:
    return reverse("revision-compare", kwargs={"revision_id": revision.id})


def changed(response) -> list[str]:
    rows = re.findall(r'<tr class="changed"><th scope="row">([^<]+)', response.content.decode())
    return [row.strip() for row in rows]


def test_only_what_differs_is_marked_by_a_word(desk, second):
    response = desk.get(address(second))

    assert changed(response)[:6] == [
        "First day",
        "Days",
        "Bouts",
        "A bout",
        "Contractions",
        "On : off",
    ]
    assert "Frequency" not in changed(response)
    assert response.content.decode().count('<span class="tag wait">changed</span>') == len(
        changed(response)
    )


def test_both_dose_checks_stand_side_by_side(desk, second):
    text = text_of(desk.get(address(second)))

    assert "Contractions a week changed 105 45" in text
    assert "A bout changed 15 contractions in 15 min 15 contractions in 7.5 min" in text
    assert "Work to rest changed 1:5 1:2" in text
    assert "Phase charge 18 µC 18 µC" in text


def test_the_patterns_are_drawn_for_both(desk, second):
    text = text_of(desk.get(address(second)))

    assert "then 50 s off; a cycle takes 60 s" in text
    assert "then 20 s off; a cycle takes 30 s" in text


def test_the_same_dose_again_differs_in_its_first_day_alone(desk, revision, clinician, now):
    twin = add(revision, clinician, now)

    assert changed(desk.get(address(twin))) == ["First day"]


def test_another_one_is_chosen_by_its_number(desk, revision, second, clinician, now):
    third = add(revision, clinician, now, days=3, frequency_hz=60)

    assert "Revision 2 and revision 3" in text_of(desk.get(address(third)))
    assert "Revision 1 and revision 3" in text_of(desk.get(address(third), {"with": "1"}))


@pytest.mark.parametrize("wanted", ["99", "x", ""])
def test_a_number_that_is_not_there_falls_back(desk, second, wanted):
    assert "Revision 1 and revision 2" in text_of(desk.get(address(second), {"with": wanted}))


def test_an_exercise_more_is_a_difference(desk, revision, clinician, now):
    two = make_dose().exercises[0]
    both = (two, two | {"code": "roll_press", "name": "Press on the roll"})

    assert "Exercise 2" in changed(desk.get(address(add(revision, clinician, now, exercises=both))))


def test_a_single_revision_has_nothing_to_be_compared_with(desk, revision):
    assert "nothing to compare it with yet" in text_of(desk.get(address(revision)))


def test_another_clinics_revision_is_not_there(outside_desk, second):
    assert outside_desk.get(address(second)).status_code == 404
