"""POST /api/v1/strength-check/"""

import pytest

pytestmark = pytest.mark.any_database
URL = "/api/v1/strength-check/"
TEST = {
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


def ask(client, **changes):
    return client.post(URL, {**TEST, **changes}, content_type="application/json")


def message(reply, code: str) -> str:
    return next(one["message"] for one in reply.json()["findings"] if one["code"] == code)


def test_a_test_becomes_indices(desk):
    reply = ask(desk)

    assert reply.status_code == 200
    body = reply.json()
    # Definitions of Wellsandt et al. 2017.
    assert body["lsi_pct"] == pytest.approx(94.7, abs=0.05)
    assert body["epic_pct"] == pytest.approx(81.8, abs=0.05)
    assert body["nm_per_kg_involved"] == pytest.approx(2.4)
    assert body["evoked_pct_mvic"] is None


def test_a_missing_limb_is_null_and_says_why(desk):
    reply = ask(desk, uninvolved=[])

    assert reply.json()["lsi_pct"] is None
    assert "both limbs" in message(reply, "lsi_missing")


def test_the_clinic_sets_when_a_course_may_be_reviewed(desk, clinic):
    before = message(ask(desk), "course")
    clinic.course = {"lsi_pct": 95}
    clinic.save()

    after = message(ask(desk), "course")

    assert "may be reviewed" in before
    assert "below 95 %" in after


def test_centimetres_for_metres_are_refused_with_what_was_meant(desk):
    reply = ask(desk, unit="N", lever_arm_m=35)

    assert reply.status_code == 400
    assert reply.json()["slips"] == [
        {"field": "lever_arm_m", "given": 35, "likely": 0.35, "unit": "m"}
    ]


def test_nobody_signed_in_hears_401(client, db):
    assert ask(client).status_code == 401


def test_a_phone_is_no_clinician(phone):
    reply = phone.http.post(URL, TEST, format="json", headers={"X-Boutwise": "1"})

    assert reply.status_code == 401


def test_only_post_is_answered(desk):
    assert desk.get(URL).status_code == 405


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"involved": 180}, "involved"),
        ({"involved": [180, "strong"]}, "involved"),
        ({"involved": [0]}, "involved"),
        ({"unit": "stone"}, "unit"),
        ({"weeks_since_start": -1}, "weeks_since_start"),
        ({"weeks_since_start": "inf"}, "weeks_since_start"),
        ({"evoked_of": "arm"}, "evoked_of"),
        ({"pathway": None}, "pathway"),
    ],
)
def test_a_wrong_value_is_named(desk, changes, field):
    reply = ask(desk, **changes)

    assert reply.status_code == 400
    assert list(reply.json()["fields"]) == [field]
