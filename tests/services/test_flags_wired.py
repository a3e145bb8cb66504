"""What reaches the rules of bouts, mornings and tests, through a push and the clock."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from homeprogram.models import Flag, StimulatorProfile
from homeprogram.services.flags import patient_flags_refresh
from homeprogram.services.strength_tests import strength_test_record
from tests.entries import BOUT, skin
from tests.support.prescribing import TRIALS, make_strength_test
from tests.support.pushes import push_at

START = datetime(2030, 3, 5, 20, tzinfo=UTC)  # the evening of the program's first day
DAY = timedelta(days=1)


@pytest.fixture
def log_bouts(phone, revision, now):
    """One bout an evening from the first day on; answers their entries."""
    push_at(phone, now, have=[revision.id], claim=True)
    told = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}

    def log(*each: dict) -> list[dict]:
        made = []
        for n, changes in enumerate(each):
            moment = START + n * DAY
            said = BOUT | {"started_at": f"{moment:%Y-%m-%d}T18:00"} | changes
            made.append(phone.entry("bout", said, for_date=f"{moment:%Y-%m-%d}", **told))
            push_at(phone, moment, made[-1], claim=True)
        return made

    return log


def standing() -> set[str]:
    return set(Flag.objects.filter(state="open").values_list("reason", flat=True))


def at(value: float, unit: str = "mA") -> dict:
    return {"intensity": [{"channel": 1, "value": value, "unit": unit}]}


def test_bouts_that_get_worse_open_their_cards_in_the_push(log_bouts):
    worse = {"discomfort": 7, "knee_pain_after": 7}

    log_bouts({}, {}, {}, worse, worse)

    assert standing() == {"discomfort_worse", "knee_pain_worse"}
    assert Flag.objects.get(reason="discomfort_worse").fact_at == START + 4 * DAY


def test_a_correction_takes_the_card_away_and_one_that_is_worse_brings_it(log_bouts, phone):
    *_, last = log_bouts({}, at(190))
    assert standing() == {"over_ceiling"}
    amend = {"of": _id(last), "reason": "a slip"}

    fixed = phone.entry("correction", amend | {"payload": BOUT}, for_date="2030-03-06")
    push_at(phone, START + 2 * DAY, fixed)
    after_fix = standing()
    again = amend | {"of": _id(fixed), "payload": BOUT | at(190)}
    push_at(phone, START + 3 * DAY, phone.entry("correction", again, for_date="2030-03-06"))

    assert (after_fix, standing()) == (set(), {"over_ceiling"})
    assert Flag.objects.get(reason="over_ceiling").fact_at == START + 3 * DAY


def test_an_itchy_check_that_is_corrected_is_one_check_and_the_next_makes_two(phone, episode, now):
    def push(kind: str, said: dict) -> dict:
        entry = phone.entry(kind, said, episode_id=str(episode.id))
        push_at(phone, now, entry, claim=True)
        return entry

    first = push("skin_check", skin(itchy=True))
    amend = {"of": _id(first), "reason": "a slip"}
    push("correction", amend | {"payload": skin(itchy=True, sore=True)})
    after_one = standing()
    push("skin_check", skin(itchy=True))

    assert (after_one, standing()) == (set(), {"skin_reaction"})


def test_calm_bouts_make_a_dose_review_due_and_swelling_takes_it_back(log_bouts, phone, episode):
    log_bouts(*[{}] * 6)
    before = standing()
    swollen = {"swelling": "much", "knee_pain": 2}
    morning = phone.entry(
        "morning_check", swollen, for_date="2030-03-11", episode_id=str(episode.id)
    )

    push_at(phone, START + 6 * DAY, morning, claim=True)

    assert (before, "dose_review_due" in standing()) == ({"dose_review_due"}, False)


@pytest.mark.parametrize(("unit", "found"), [("mA", True), ("level", False)])
def test_the_limit_is_compared_in_the_stimulators_own_unit(log_bouts, revision, unit, found):
    StimulatorProfile.objects.filter(id=revision.stimulator_id).update(max_intensity=40, unit=unit)

    log_bouts(*[at(40)] * 3)

    assert ("stimulator_at_limit" in standing()) is found


def test_a_test_clears_the_card_that_asked_for_it(log_bouts, patient, episode, clinician):
    due = START + 28 * DAY
    patient_flags_refresh(patient_id=patient.id, now=due)
    asked = standing()
    strength_test_record(
        episode=episode, by=clinician, on=due.date(), now=due, request=None,
        maximal=False, observed_contraction="sustained",
    )  # fmt: skip

    patient_flags_refresh(patient_id=patient.id, now=due + DAY)

    assert "strength_test_due" in asked
    assert "strength_test_due" not in standing()


@pytest.mark.parametrize(("angle", "found"), [(65, True), (90, False)])
def test_a_current_below_the_tested_one_is_seen_at_the_programs_own_angle(
    log_bouts, episode, clinician, angle, found
):
    said = {"knee_angle_deg": angle, "evoked_at": [{"channel": 1, "value": 45}]}
    make_strength_test(
        episode, clinician, START, on=START.date(), said=said,
        evoked=0.6 * max(TRIALS["involved"]), evoked_of="involved",
    )  # fmt: skip

    log_bouts(*[at(40)] * 3)

    assert ("intensity_below_effective" in standing()) is found


def test_what_the_rules_need_is_asked_at_once(log_bouts, patient):
    with CaptureQueriesContext(connection) as queries:
        patient_flags_refresh(patient_id=patient.id, now=START)

    asked = [q["sql"] for q in queries if q["sql"].startswith(("SELECT", "("))]
    assert len(asked) == 3  # the lock, all small tables, the entries
    assert sum("strengthtest" in sql for sql in asked) == 1


def _id(entry: dict) -> str:
    return json.loads(entry["body"])["id"]
