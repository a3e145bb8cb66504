"""The surgeon's limits: written down, ended, and held against exercises."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from clinician.selectors.limits import findings_for
from homeprogram.models import SurgeonLimit
from homeprogram.services.patients import episode_add
from tests.support.prescribing import make_limit
from tests.support.reading import text_of

TOLD = {
    "kind": "range_of_motion",
    "detail": "bend to 90 degrees only",
    "said_by": "Dr Ama Lind",
    "first_day": "2030-03-04",
    "last_day": "",
    "from_deg": "0",
    "to_deg": "90",
}
QUAD_SET = {"name": "Tighten the thigh", "contraction_type": "isometric"}
EXTENSION = {"name": "Straighten the knee", "contraction_type": "concentric"}
SQUAT = {"name": "Half squat", "contraction_type": "isometric", "standing": True}


@pytest.fixture
def url(episode) -> str:
    return reverse("limit-record", kwargs={"episode_id": episode.id})


@pytest.fixture
def operated(patient, now):
    return episode_add(
        patient=patient,
        limb="right",
        pathway="post_operative",
        surgery_on=date(2030, 2, 20),
        starts_on=now.date(),
        now=now,
    )


@pytest.fixture
def limit(episode, clinician, now):
    return make_limit(episode, clinician, now)


def codes(found) -> list[tuple[str, str]]:
    return [(one.code, one.level) for one in found]


def test_a_limit_shows_on_the_patient_page_as_holding(desk, url, patient_url, clinician):
    desk.post(url, TOLD)

    text = text_of(desk.get(patient_url))
    assert "holds today range of motion : bend to 90 degrees only (0° to 90°)." in text
    assert "Dr Ama Lind, from Mon 4 Mar 2030 (written down by Ro Desk)" in text
    assert SurgeonLimit.objects.get().recorded_by == clinician


def test_a_limit_of_later_does_not_hold_yet(desk, url, patient_url):
    desk.post(url, TOLD | {"first_day": "2030-03-10"})

    text = text_of(desk.get(patient_url))
    assert "not yet range of motion" in text
    assert "None holds today." in text


@pytest.mark.parametrize(
    ("odd", "sentence"),
    [
        ({"to_deg": ""}, "Give both angles, the smaller one first."),
        ({"from_deg": "95"}, "Give both angles, the smaller one first."),
        ({"last_day": "2030-03-01"}, "The last day is before the first."),
        ({"said_by": ""}, "Fill this in."),
        ({"kind": "mood"}, "Select a valid choice."),
    ],
)
def test_an_odd_limit_is_named(desk, url, odd, sentence):
    response = desk.post(url, TOLD | odd)

    assert sentence in text_of(response)
    assert not SurgeonLimit.objects.exists()


def test_an_ended_limit_moves_to_what_is_over(desk, limit, patient_url, clock, now):
    address = reverse("limit-end", kwargs={"limit_id": limit.id})
    desk.post(address, {"last_day": "2030-03-04"})
    clock(now + timedelta(days=1))

    text = text_of(desk.get(patient_url))

    assert "Limits that are over (1)" in text
    assert "to Mon 4 Mar 2030" in text
    assert "None holds today." in text


def test_movement_after_surgery_waits_for_the_surgeon(operated):
    found = findings_for(operated, [EXTENSION], 65, date(2030, 3, 4))

    assert codes(found) == [("movement_not_cleared", "outside")]
    assert "Straighten the knee" in found[0].message


def test_a_clearance_of_that_day_lets_it_move(operated, clinician, now):
    cleared = {"kind": "movement", "detail": "from week 6", "from_deg": None, "to_deg": None}
    make_limit(operated, clinician, now, first_day=date(2030, 3, 10), **cleared)

    assert findings_for(operated, [EXTENSION], 65, date(2030, 3, 10)) == []
    assert codes(findings_for(operated, [EXTENSION], 65, date(2030, 3, 9))) == [
        ("movement_not_cleared", "outside")
    ]


def test_without_surgery_nobody_has_to_clear_it(episode):
    assert findings_for(episode, [EXTENSION], 65, date(2030, 3, 4)) == []


@pytest.mark.parametrize(("angle", "codes_found"), [(90, []), (91, ["angle_outside_limit"])])
def test_the_angle_is_held_against_the_limit(episode, limit, angle, codes_found):
    found = findings_for(episode, [QUAD_SET], angle, date(2030, 3, 4))

    assert [one.code for one in found] == codes_found


def test_standing_with_the_current_on_needs_support(episode):
    found = findings_for(episode, [SQUAT], 40, date(2030, 3, 4))

    assert codes(found) == [("standing_needs_support", "notice")]
    assert found[0].mark == "common practice"


def test_a_repair_is_named_with_who_said_so(episode, clinician, now):
    repair = {"kind": "meniscal_repair", "detail": "no load beyond 60°"}
    make_limit(episode, clinician, now, from_deg=None, to_deg=None, **repair)

    found = findings_for(episode, [QUAD_SET], 40, date(2030, 3, 4))

    assert codes(found) == [("meniscal_repair_protected", "notice")]
    assert found[0].source == "Dr Ama Lind"
