import pytest

from homeprogram.calc.holds import HoldRaised, hold_raised_by
from tests.entries import BOUT, FACTS_SAME, skin
from tests.rules.build import shared_cases


def held_by(given: dict) -> list[str]:
    """Ids of the entries that hold this episode: raised, in scope, and not lifted."""
    covered = {entry for lift in given["lifts"] for entry in lift["covers"]}
    raised = [
        (
            entry,
            hold_raised_by(entry["kind"], entry["payload"], limb_known=bool(entry["episode_id"])),
        )
        for entry in given["entries"]
    ]
    return [
        entry["id"]
        for entry, hold in raised
        if hold
        and entry["id"] not in covered
        and (hold.scope == "all" or entry["episode_id"] == given["episode_id"])
    ]


def correction(payload: dict) -> dict:
    return {"of": "0192f0a0-0000-7000-8000-000000000001", "payload": payload, "reason": "Slip"}


@pytest.mark.parametrize(("given", "expected"), shared_cases("hold.json"))
def test_the_clinic_holds_what_the_phone_holds(given, expected):
    assert held_by(given) == expected


@pytest.mark.parametrize(
    ("symptoms", "limb_known", "hold"),
    [
        (["chest_pain"], True, HoldRaised("all", "emergency")),
        (["dark_urine"], True, HoldRaised("all", "same_day")),
        (["pop"], True, HoldRaised("limb", "surgeon")),
        (["pop"], False, HoldRaised("all", "surgeon")),
        (["numb"], True, HoldRaised("limb", "clinic")),
        (["numb", "chest_pain"], True, HoldRaised("all", "emergency")),
    ],
)
def test_a_stop_report_holds_by_its_gravest_symptom(symptoms, limb_known, hold):
    assert hold_raised_by("stop_report", {"symptoms": symptoms}, limb_known=limb_known) == hold


@pytest.mark.parametrize(
    ("facts", "hold"),
    [
        ({"raised": True}, HoldRaised("limb", "skin_grade_3")),
        ({"broken": True}, HoldRaised("limb", "skin_grade_4")),
        ({"colour": "marked", "pattern": "patchy", "itchy": True, "sore": True}, None),
        ({}, None),
    ],
)
def test_skin_holds_its_limb_from_grade_3(facts, hold):
    assert hold_raised_by("skin_check", skin("after", **facts), limb_known=True) == hold


def test_a_correction_that_tells_of_a_symptom_holds():
    told = correction({"symptoms": ["calf_pain"]})

    assert hold_raised_by("correction", told, limb_known=True) == HoldRaised("all", "same_day")


@pytest.mark.parametrize(
    "nonsense",
    [
        {},
        BOUT,
        BOUT | {"pads": 3},
        BOUT | {"symptoms": "chest_pain"},
        {"symptoms": []},
        {"symptoms": ["unheard_of"]},
        {"symptoms": [["chest_pain"]]},
        {"pads": None, "moment": "after"},
        {"pads": [{"pad": "upper_outer"}], "moment": "after"},
        {"pads": [{"pad": "upper_outer", "facts": FACTS_SAME | {"raised": "yes"}}]},
    ],
)
def test_a_correction_that_cannot_be_read_holds_nothing_and_breaks_nothing(nonsense):
    assert hold_raised_by("correction", correction(nonsense), limb_known=True) is None


@pytest.mark.parametrize("kind", ["bout", "not_done", "morning_check", "note_to_clinic"])
def test_other_kinds_hold_nothing(kind):
    assert hold_raised_by(kind, {}, limb_known=True) is None


def test_a_withdrawal_holds_nothing():
    said = {"of": "0192f0a0-0000-7000-8000-000000000001", "reason": "Slip"}

    assert hold_raised_by("withdrawal", said, limb_known=True) is None
