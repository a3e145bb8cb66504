"""One patient's own thresholds: judged by them, previewed before, written down after."""

from datetime import UTC, datetime, timedelta

import pytest

from homeprogram.calc.flag_replay import REPLAYED
from homeprogram.calc.limits import FlagRules
from homeprogram.errors import RuleBroken
from homeprogram.models import Flag, Patient, SettingChange
from homeprogram.selectors.flag_replay import flags_replayed
from homeprogram.services.flags import patient_flags_refresh
from homeprogram.services.patients import patient_add
from homeprogram.services.settings import patient_rules_set
from tests.conftest import PairedPhone, make_program
from tests.entries import BOUT, skin
from tests.support.pushes import push_at

DAY = timedelta(days=1)
MISSED = {6, 8, 9, 13}  # of March


def set_rules(patient, by, now, reason: str = "works shifts", **rules) -> None:
    patient_rules_set(patient=patient, rules=rules, reason=reason, by=by, now=now)


def replayed(patients, now, **edited) -> dict:
    rules = FlagRules.of_clinic(edited)
    return dict(flags_replayed(patients=patients, by=[lambda _: rules], now=now)[0])


@pytest.fixture
def gaps(phone, revision, now):
    """Two weeks with a bout every evening but for four days; the moment after them."""
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    push_at(phone, now, have=[revision.id], claim=True)
    for day in range(5, 18):
        evening = datetime(2030, 3, day, 19, tzinfo=UTC)
        said = {"for_date": f"2030-03-{day:02d}"} | program
        done = [] if day in MISSED else [phone.entry("bout", BOUT, **said)]
        push_at(phone, evening, *done, claim=True)
    return datetime(2030, 3, 18, 13, tzinfo=UTC)


def test_a_patients_own_threshold_counts_and_the_clock_looks_soon(
    after_two_missed_days, patient, clinician
):
    set_rules(patient, clinician, after_two_missed_days, missed_in_a_row=4)

    assert Patient.objects.get().flags_next_at is None
    patient_flags_refresh(patient_id=patient.id, now=after_two_missed_days)
    assert Flag.objects.get(reason="missed_days").state == "cleared"


def test_who_set_it_when_and_why_is_kept_for_ever(patient, clinician, now):
    set_rules(patient, clinician, now, worse_by=3)
    set_rules(patient, clinician, now + DAY, reason="as before again")

    told = SettingChange.objects.order_by("at").values_list(
        "patient", "kind", "by", "reason", "before", "after"
    )
    assert list(told) == [
        (patient.id, "rules", clinician.id, "works shifts", {"worse_by": None}, {"worse_by": 3}),
        (patient.id, "rules", clinician.id, "as before again", {"worse_by": 3}, {"worse_by": None}),
    ]


@pytest.mark.parametrize(
    ("rules", "reason", "code"),
    [
        ({"worse_by": 3}, " ", "reason_missing"),
        ({"pads_uses": 30}, "why not", "rules_invalid"),
        ({"window_days": 20}, "why not", "rules_invalid"),
        ({"skin_any_grade": 4}, "less alarms", "rules_invalid"),
        ({"missed_of_last": 9}, "why not", "rules_invalid"),
    ],
)
def test_what_may_not_be_set_for_one_patient_is_refused(patient, clinician, rules, reason, code):
    with pytest.raises(RuleBroken) as refusal:
        set_rules(patient, clinician, patient.created_at, reason, **rules)

    assert refusal.value.code == code
    assert Patient.objects.get().rules == {}


def test_a_replay_finds_the_cards_that_the_days_themselves_raised(gaps, patient):
    raised = set(Flag.objects.filter(reason__in=REPLAYED).values_list("reason", flat=True))

    found = replayed([patient], gaps)

    assert "missed_days" in raised
    assert set(found) == raised
    assert found["missed_days"] == 1


def test_stricter_thresholds_would_have_raised_more_and_looser_ones_less(gaps, patient):
    assert replayed([patient], gaps, missed_in_a_row=1)["missed_days"] > 1
    assert "missed_days" not in replayed([patient], gaps, missed_in_a_row=7, missed_of_last=7)


def test_a_replay_counts_each_newer_reaction(phone, episode, patient, now):
    for day in (3, 6):
        entry = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
        push_at(phone, now + day * DAY, entry)

    assert replayed([patient], now + 7 * DAY) == {"skin_reaction": 2}
    assert "skin_reaction" not in replayed([patient], now + 40 * DAY)


def test_a_replay_writes_nothing(gaps, patient):
    before = list(Flag.objects.order_by("id").values()), Patient.objects.values().get()

    replayed([patient], gaps, missed_in_a_row=1)

    assert (list(Flag.objects.order_by("id").values()), Patient.objects.values().get()) == before


def test_a_replay_of_three_asks_no_more_than_one(
    gaps, patient, clinician, django_assert_num_queries
):
    others = [patient_add(by=clinician, name=f"P {n}", now=gaps, zone="UTC") for n in range(2)]
    for one in others:
        PairedPhone(one, clinician, gaps)
        make_program(one, clinician, gaps)

    for several in ([patient], [patient, *others]):
        with django_assert_num_queries(3):
            replayed(several, gaps)
