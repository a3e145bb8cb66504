"""The strength check as a whole: indices, error, what is missing, refusals."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.course import CourseRules
from homeprogram.calc.dose_errors import ImpossibleStrength
from homeprogram.calc.strength_check import course_rules, strength_check

ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = json.loads((ROOT / "fixtures/calc/published.json").read_text("utf-8"))
REPLY = {
    "involved_mvic",
    "uninvolved_mvic",
    "lsi_pct",
    "epic_pct",
    "nm_per_kg_involved",
    "evoked_pct_mvic",
    "trial_spread_pct",
    "mdc_pct",
    "findings",
}
BASE = {
    "involved": [180, 176],
    "uninvolved": [190, 188],
    "unit": "Nm",
    "body_mass_kg": 75,
    "preop_uninvolved": 220,
    "mvic_rule": "best",
    "method": "electromechanical",
    "weeks_since_start": 12,
    "weeks_since_surgery": 12,
    "pathway": "post_operative",
    "other_limb": "sound",
}


def check(**changes) -> dict:
    return strength_check({**BASE, **changes})


def finding(code: str, **changes) -> dict | None:
    found = check(**changes)["findings"]
    return next((item for item in found if item["code"] == code), None)


def refusal(**changes) -> ImpossibleStrength:
    with pytest.raises(ImpossibleStrength) as refused:
        check(**changes)
    return refused.value


def test_the_reply_holds_every_promised_figure():
    assert set(check()) == REPLY


def test_lsi_passes_and_epic_fails():
    # Definitions of Wellsandt et al. 2017: 180, 190 now, 220 before surgery.
    reply = check(method="unknown")

    assert reply["lsi_pct"] == pytest.approx(94.7, abs=0.05)
    assert reply["epic_pct"] == pytest.approx(81.8, abs=0.05)
    assert finding("lsi_sport", method="unknown")["level"] == "within"
    assert finding("epic_sport", method="unknown")["level"] == "notice"


def test_force_and_lever_arm_make_torque_by_mass():
    # Method of Husted et al. 2018: 350 N at 0.35 m and 70 kg.
    reply = check(involved=[350], unit="N", lever_arm_m=0.35, body_mass_kg=70)

    assert reply["involved_mvic"] == 350
    assert reply["nm_per_kg_involved"] == pytest.approx(1.75)


def test_three_newton_metres_a_kilogram_meet_three():
    found = finding("nm_per_kg_strong", involved=[225], method="unknown")

    assert found["level"] == "within"


@pytest.mark.parametrize("case", PUBLISHED["strength"]["lsi_class"])
def test_high_low_and_neither(case):
    # PMC8127385; an unknown method leaves the measurement error out.
    given = {"involved": [case["lsi"]], "uninvolved": [100], "method": "unknown"}

    high = finding("lsi_sport", **given)["level"] == "within"
    low = finding("lsi_low", **given)["level"] != "within"

    assert (high, low) == (case["high"], case["low"])


@pytest.mark.parametrize(
    ("lsi", "weeks", "may"), [(79.9, 12, False), (80.0, 12, True), (80.0, 8, False)]
)
def test_when_a_course_may_be_reviewed(lsi, weeks, may):
    # Common practice, no source.
    found = finding("course", involved=[lsi], uninvolved=[100], weeks_since_surgery=weeks)

    assert ("may be reviewed" in found["message"]) is may


def test_within_measurement_error_of_a_threshold_is_borderline():
    found = finding("course_lsi", involved=[82], uninvolved=[100])

    assert found["level"] == "notice"
    assert "borderline, repeat" in found["message"]


def test_far_from_a_threshold_is_not_borderline():
    found = finding("course_lsi", involved=[60], uninvolved=[100])

    assert "borderline" not in found["message"]


def test_one_test_against_a_fixed_mark_has_less_error_than_a_change():
    # 2.6 Nm/kg is 15 % short of 3.0: inside 19.9 % for a change, outside the
    # 14.1 % (19.9 over the root of two) of a single test.
    message = finding("nm_per_kg_strong", involved=[2.6 * 75], preop_uninvolved=None)["message"]

    assert "borderline" not in message


def test_a_small_body_shows_an_impossible_strength():
    # 440 Nm could be; 11 Nm/kg cannot.
    error = refusal(involved=[440], uninvolved=[], preop_uninvolved=None, body_mass_kg=40)

    assert set(error.fields) == {"involved"}


def test_two_trials_within_five_percent_are_accepted():
    # Karatzanos et al. 2012: 100 and 97 differ by 3 %.
    reply = check(involved=[100, 97, 88])

    assert reply["trial_spread_pct"] == pytest.approx(3.0)
    assert finding("trials_involved", involved=[100, 97, 88])["level"] == "within"
    assert finding("trials_involved", involved=[100, 88])["level"] == "notice"


def test_the_mean_is_another_rule():
    assert check(involved=[100, 97, 88], mvic_rule="mean")["involved_mvic"] == 95


@pytest.mark.parametrize(("evoked", "level"), [(50, "within"), (49, "notice")])
def test_half_of_the_voluntary_force_is_the_target(evoked, level):
    # Common practice, no source: 100 lbf voluntary, at least 50 lbf evoked.
    given = {"involved": [100], "uninvolved": [130], "unit": "lbf", "lever_arm_m": 0.35}

    found = finding("evoked_target", **given, evoked=evoked, evoked_of="involved")

    assert found["level"] == level


def test_the_fraction_names_its_mvic():
    reply = check(evoked=45, evoked_of="preop")

    assert reply["evoked_pct_mvic"] == pytest.approx(20.45, abs=0.01)
    message = finding("evoked_target", evoked=45, evoked_of="preop")["message"]
    assert "the other limb before surgery" in message


def test_30_percent_of_150():
    reply = check(involved=[150], evoked=45, evoked_of="involved")

    assert reply["evoked_pct_mvic"] == 30.0


def test_below_ten_percent_is_a_notice_of_its_own():
    assert finding("evoked_floor", evoked=17, evoked_of="involved")["level"] == "notice"
    assert finding("evoked_floor", evoked=18, evoked_of="involved") is None


def test_an_evoked_force_without_its_mvic_is_null():
    assert check(evoked=45)["evoked_pct_mvic"] is None
    assert finding("evoked_missing", evoked=45)["level"] == "notice"


@pytest.mark.parametrize(
    ("changes", "figure", "code"),
    [
        ({"uninvolved": []}, "lsi_pct", "lsi_missing"),
        ({"preop_uninvolved": None}, "epic_pct", "epic_missing"),
        ({"body_mass_kg": None}, "nm_per_kg_involved", "nm_per_kg_missing"),
        ({"unit": "N"}, "nm_per_kg_involved", "nm_per_kg_missing"),
        ({"involved": [180]}, "trial_spread_pct", "trials_involved_few"),
        ({"method": "a spring"}, "mdc_pct", "mdc_unknown"),
        ({"other_limb": "operated"}, "lsi_pct", "lsi_unreliable"),
        ({"involved": []}, "involved_mvic", "trials_involved_few"),
    ],
)
def test_what_cannot_be_computed_is_null_and_says_why(changes, figure, code):
    assert check(**changes)[figure] is None
    assert finding(code, **changes)["level"] == "notice"


@pytest.mark.parametrize("other", ["arthritic", "detrained"])
def test_an_unsound_other_limb_makes_lsi_unreliable(other):
    reply = check(other_limb=other)

    assert reply["lsi_pct"] == pytest.approx(94.7, abs=0.05)
    assert "unreliable" in finding("lsi_unreliable", other_limb=other)["message"]
    assert "may be reviewed" not in finding("course", other_limb=other)["message"]


def test_limbs_the_wrong_way_round_are_asked_about():
    assert finding("limbs_swapped", involved=[190], uninvolved=[150])
    assert finding("limbs_swapped", involved=[190], uninvolved=[185]) is None


def test_pounds_entered_as_kilograms_are_asked_about():
    # 150 lbf at 0.35 m are 233 Nm; read as 150 kgf they would be 515 Nm.
    given = {"uninvolved": [150], "unit": "kgf", "lever_arm_m": 0.35}

    found = finding("unit_slip", involved=[150], **given, preop_uninvolved=None, body_mass_kg=80)

    assert "Was it 150 lbf?" in found["message"]


def test_centimetres_for_metres_are_refused():
    error = refusal(unit="N", lever_arm_m=35)

    assert error.code == "unit_slip"
    assert error.slips == [{"field": "lever_arm_m", "given": 35, "likely": 0.35, "unit": "m"}]


def test_pounds_that_no_knee_could_lift_as_kilograms_are_refused():
    # 220 lbf are 99.8 kgf.
    error = refusal(
        involved=[220],
        uninvolved=[],
        unit="kgf",
        lever_arm_m=0.4,
        body_mass_kg=100,
        preop_uninvolved=None,
    )

    assert [(s["field"], s["likely"], s["unit"]) for s in error.slips] == [
        ("involved", pytest.approx(99.8, abs=0.05), "kgf")
    ]


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"unit": "stone"}, "unit"),
        ({"mvic_rule": "median"}, "mvic_rule"),
        ({"pathway": "cosmetic"}, "pathway"),
        ({"other_limb": "missing"}, "other_limb"),
        ({"evoked": 50, "evoked_of": "arm"}, "evoked_of"),
        ({"involved": [180, 0]}, "involved"),
        ({"evoked": -5}, "evoked"),
        ({"body_mass_kg": 70_000}, "body_mass_kg"),
        ({"involved": [2000]}, "involved"),
    ],
)
def test_what_cannot_be_is_refused(changes, field):
    error = refusal(**changes)

    assert set(error.fields) == {field}
    assert set(error.as_dict()) == {"code", "message", "fields", "slips"}


def test_the_clinics_course_rules_come_over_ours():
    assert course_rules() == CourseRules()
    assert course_rules({"lsi_pct": 90}).lsi_pct == 90
    assert course_rules({"lsi_pct": 90}).weeks_post_operative == 12


@given(st.floats(20, 300), st.floats(20, 300))
def test_lsi_does_not_depend_on_mass_or_unit(involved, other):
    given = {"involved": [involved], "uninvolved": [other], "preop_uninvolved": None}

    bare = check(**given, body_mass_kg=None)
    pounds = check(**given, body_mass_kg=None, unit="lbf")

    assert bare["lsi_pct"] == pounds["lsi_pct"]
