from datetime import timedelta

import pytest

from homeprogram.errors import RuleBroken
from homeprogram.models import Change, Hold, Lift
from homeprogram.services.holds import hold_lift
from homeprogram.services.patients import patient_add
from tests.entries import skin
from tests.support.pushes import push_at


@pytest.fixture
def holds(phone, episode, now) -> list[Hold]:
    """Three standing holds, in the order they were placed."""
    for hour, facts in enumerate([{"raised": True}, {"broken": True}, {"raised": True}]):
        check = phone.entry("skin_check", skin(**facts), episode_id=str(episode.id))
        push_at(phone, now + timedelta(hours=hour), check)
    return list(Hold.objects.order_by("placed_at"))


def lift(patient, clinician, now, holds, reason="skin is whole") -> Lift:
    return hold_lift(patient=patient, by=clinician, holds=holds, reason=reason, now=now)


def standing() -> set[Hold]:
    return set(Hold.objects.filter(lift=None))


def test_a_lift_ends_the_holds_it_names_and_no_others(holds, patient, clinician, now):
    done = lift(patient, clinician, now, holds[:2])

    assert standing() == {holds[2]}
    assert set(done.holds.all()) == set(holds[:2])
    assert (done.lifted_by, done.reason) == (clinician, "skin is whole")


def test_the_phones_hear_of_it(holds, patient, clinician, now):
    done = lift(patient, clinician, now, holds[:1])

    change = Change.objects.order_by("version").last()
    assert (change.type, change.object_id) == ("lift", done.id)


@pytest.mark.parametrize("reason", ["", "   "])
def test_a_lift_has_a_reason(holds, patient, clinician, now, reason):
    with pytest.raises(RuleBroken) as refusal:
        lift(patient, clinician, now, holds, reason=reason)

    assert (refusal.value.code, list(refusal.value.fields)) == ("reason_missing", ["reason"])
    assert standing() == set(holds)


def test_a_lifted_hold_is_not_lifted_again(holds, patient, clinician, now):
    lift(patient, clinician, now, holds[:1])

    with pytest.raises(RuleBroken) as refusal:
        lift(patient, clinician, now, holds[:1])

    assert refusal.value.code == "hold_not_standing"
    assert Lift.objects.count() == 1


def test_a_lift_covers_only_what_still_stands(holds, patient, clinician, now):
    lift(patient, clinician, now, holds[:1])

    second = lift(patient, clinician, now, holds)

    assert set(second.holds.all()) == set(holds[1:])


def test_another_patients_holds_stay(holds, clinician, now):
    other = patient_add(by=clinician, name="Odd Other", now=now)

    with pytest.raises(RuleBroken):
        lift(other, clinician, now, holds)

    assert standing() == set(holds)


def test_a_reaction_after_the_lift_holds_again(holds, phone, episode, clinician, now):
    lift(episode.patient, clinician, now, holds)

    check = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
    push_at(phone, now + timedelta(days=1), check)

    assert len(standing()) == 1
    assert not standing() & set(holds)
