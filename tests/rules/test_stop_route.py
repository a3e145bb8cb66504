import pytest

from homeprogram.calc.symptoms import route_of, stops_everything
from tests.rules.build import shared_cases

ROUTES = {
    "chest_pain": "emergency",
    "breathless": "emergency",
    "calf_pain": "same_day",
    "calf_swelling": "same_day",
    "dark_urine": "same_day",
    "fever": "same_day",
    "wound_change": "surgeon",
    "pop": "surgeon",
    "leg_raise_lost": "surgeon",
    "skin_burn": "clinic",
    "strong_pain": "clinic",
    "faint": "clinic",
    "numb": "clinic",
    "other": "clinic",
}


@pytest.mark.parametrize(("given", "expected"), shared_cases("stop_route.json"))
def test_a_report_goes_where_the_phone_sends_it(given, expected):
    assert route_of(given["symptoms"]) == expected


@pytest.mark.parametrize(("symptom", "route"), ROUTES.items())
def test_each_symptom_alone_has_its_route(symptom, route):
    assert route_of([symptom]) == route


@pytest.mark.parametrize("symptom", ROUTES)
def test_chest_pain_outranks_every_symptom_in_either_order(symptom):
    assert route_of([symptom, "chest_pain"]) == "emergency"
    assert route_of(["chest_pain", symptom]) == "emergency"


@pytest.mark.parametrize(
    ("symptom", "everything"),
    [("chest_pain", True), ("fever", True), ("pop", False), ("numb", False)],
)
def test_only_a_safety_symptom_stops_the_other_limb(symptom, everything):
    assert stops_everything([symptom], limb_known=True) is everything


@pytest.mark.parametrize("symptom", ROUTES)
def test_any_symptom_of_no_named_limb_stops_everything(symptom):
    assert stops_everything([symptom], limb_known=False)
