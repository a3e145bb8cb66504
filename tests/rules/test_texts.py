"""The fixed texts of the phone, a clinic's own words over ours."""

import json
import re
from pathlib import Path

import pytest

from homeprogram.calc.limits import FlagRules
from homeprogram.calc.symptoms import Route
from homeprogram.calc.texts import KINDS, LANGUAGES, default_texts, further_texts, texts_of

OURS = texts_of({})
ROOT = Path(__file__).resolve().parents[2]


def test_every_grade_route_and_scope_has_its_words():
    assert set(OURS["skin"]) == {"0", "1", "2", "3", "4"}
    assert set(OURS["stop"]) == set(Route)
    assert set(OURS["hold"]) == {"limb", "all"}
    assert set(OURS["knee"]) == {"bad"}
    assert all(OURS[kind][key].strip() for kind in KINDS for key in OURS[kind])


def test_the_usual_cautions_are_there():
    cautions = " ".join(OURS["cautions"]).lower()

    assert "pacemaker" in cautions
    assert "pregnant" in cautions
    assert "wound" in cautions
    assert "drive" in cautions


@pytest.mark.parametrize("grade", ["3", "4"])
def test_grades_that_hold_tell_the_patient_to_stop_and_call(grade):
    assert "Stop" in OURS["skin"][grade]
    assert "Call the clinic today" in OURS["skin"][grade]


def test_a_bad_knee_in_the_morning_is_told_to_call_before_a_bout():
    assert "Do not start a bout yet. Call the clinic first" in OURS["knee"]["bad"]


def test_a_clinic_replaces_one_text_and_keeps_the_others():
    theirs = texts_of({"skin": {"1": "Our own words."}})

    assert theirs["skin"]["1"] == "Our own words."
    assert theirs["skin"] | {"1": OURS["skin"]["1"]} == OURS["skin"]
    assert theirs["stop"] == OURS["stop"]


def test_a_clinics_cautions_come_after_those_for_everybody():
    assert texts_of({"cautions": ["This too."]})["cautions"] == [*OURS["cautions"], "This too."]
    assert texts_of({"cautions": OURS["cautions"][:1]})["cautions"] == OURS["cautions"]
    assert texts_of({"cautions": []})["cautions"] == OURS["cautions"]


def test_one_clinics_words_never_reach_another():
    before = json.dumps(texts_of({}))

    theirs = texts_of({"hold": {"limb": "Changed."}})
    theirs["cautions"].append("Changed.")
    theirs["stop"]["emergency"] = "Changed."

    assert json.dumps(texts_of({})) == before


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_every_text(language):
    theirs = default_texts(language)

    assert {kind: list(theirs[kind]) for kind in KINDS} == {
        kind: list(OURS[kind]) for kind in KINDS
    }
    assert len(theirs["cautions"]) == len(OURS["cautions"])
    assert all(words.strip() for kind in KINDS for words in theirs[kind].values())


def test_a_clinics_own_words_stand_in_every_language_until_it_wrote_them_there_too():
    own = {"skin": {"3": "Stop. Ring us."}, "cautions": ["This too."]}
    further = own | {"in": {"es": {"skin": {"3": "Pare. Llámenos."}}}}

    assert texts_of(own, "es")["skin"]["3"] == "Stop. Ring us."
    assert texts_of(own, "es")["skin"]["4"] == default_texts("es")["skin"]["4"]
    assert texts_of(own, "es")["cautions"] == [*default_texts("es")["cautions"], "This too."]
    assert texts_of(further, "es")["skin"]["3"] == "Pare. Llámenos."
    assert texts_of(further)["skin"]["3"] == "Stop. Ring us."
    assert set(further_texts(further)) == set(LANGUAGES) - {"en"}


def test_the_phone_calls_a_knee_bad_from_where_the_clinics_flag_does():
    source = (ROOT / "static/patient/model/morning.js").read_text()

    assert int(re.search(r"const KNEE_PAIN_BAD = (\d+);", source)[1]) == FlagRules().pain_any
