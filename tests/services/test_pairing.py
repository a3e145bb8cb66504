from datetime import timedelta

import pytest
from django.db import connection

from homeprogram.errors import RuleBroken
from homeprogram.models import Phone
from homeprogram.services.pairing import (
    code_create,
    phone_confirm,
    phone_of_token,
    phone_pair,
    phone_revoke,
)
from tests.support.concurrency import at_once, committed


def pair(patient, clinician, now, *, replaces: bool = True):
    code = code_create(patient=patient, by=clinician, now=now, replaces=replaces)
    return phone_pair(secret=code.code, label="phone", address="10.0.0.1", now=now)[0]


def states() -> list[str]:
    return sorted(Phone.objects.values_list("state", flat=True))


def test_a_paired_phone_leaves_the_old_one_alone_until_it_is_confirmed(
    phone, patient, clinician, now
):
    pair(patient, clinician, now)

    assert states() == ["active", "waiting"]


def test_confirming_the_new_phone_replaces_the_old_one(phone, patient, clinician, now):
    later = now + timedelta(days=1)
    new = pair(patient, clinician, later)

    phone_confirm(phone=new, by=clinician, now=later)

    old = Phone.objects.get(id=phone.id)
    assert (old.state, old.revoked_at) == ("replaced", later)
    assert (new.state, new.confirmed_by, new.confirmed_at) == ("active", clinician, later)


def test_both_stay_when_the_clinician_says_so(phone, patient, clinician, now):
    phone_confirm(phone=pair(patient, clinician, now, replaces=False), by=clinician, now=now)

    assert states() == ["active", "active"]


def test_another_patients_phone_is_not_replaced(phone, clinician, now):
    from homeprogram.services.patients import patient_add

    other = patient_add(by=clinician, name="Odd Other", now=now)
    phone_confirm(phone=pair(other, clinician, now), by=clinician, now=now)

    assert states() == ["active", "active"]


def test_a_phone_is_confirmed_once(phone, clinician, now):
    with pytest.raises(RuleBroken) as refusal:
        phone_confirm(phone=phone.row, by=clinician, now=now)

    assert refusal.value.code == "phone_not_waiting"


@pytest.mark.parametrize("state", ["replaced", "stolen"])
def test_a_revoked_phone_cannot_be_confirmed(phone, clinician, now, state):
    phone_revoke(phone=phone.row, state=state, now=now)

    with pytest.raises(RuleBroken):
        phone_confirm(phone=phone.row, by=clinician, now=now)

    assert states() == [state]


@pytest.mark.parametrize("state", ["active", "waiting", "lost"])
def test_a_phone_is_revoked_as_replaced_or_stolen_only(phone, now, state):
    with pytest.raises(RuleBroken):
        phone_revoke(phone=phone.row, state=state, now=now)

    assert states() == ["active"]


def test_revoking_again_keeps_the_first_moment(phone, now):
    phone_revoke(phone=phone.row, state="stolen", now=now)

    phone_revoke(phone=phone.row, state="stolen", now=now + timedelta(days=1))

    assert Phone.objects.get().revoked_at == now


def test_a_credential_finds_its_phone_in_whatever_state(phone, now):
    phone_revoke(phone=phone.row, state="stolen", now=now)

    assert phone_of_token(token=phone.token).state == "stolen"
    assert phone_of_token(token=phone.token + "x") is None


def test_codes_differ_and_carry_34_bits_and_links_more_than_128(patient, clinician, now):
    codes = [code_create(patient=patient, by=clinician, now=now) for _ in range(50)]

    assert len({one.code for one in codes}) == 50
    assert {len(one.code.replace("-", "")) for one in codes} == {10}
    assert min(len(one.token) for one in codes) >= 32  # 192 bits, six to a character


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_of_two_phones_confirmed_at_the_same_instant_one_stays(django_db_setup, django_db_blocker):
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from tests.conftest import make_clinic, make_clinician

    with committed(django_db_blocker):
        now = timezone.now()
        clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        patient = patient_add(by=clinician, name="Wilma Tarn", now=now)
        phones = [pair(patient, clinician, now) for _ in range(4)]

        at_once(4, lambda n: phone_confirm(phone=phones[n], by=clinician, now=now))

        assert states() == ["active", "replaced", "replaced", "replaced"]


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_revoking_a_phone_never_waits_for_a_push_that_waits_for_it(
    django_db_setup, django_db_blocker
):
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_clinic, make_clinician
    from tests.support.pushes import push_at

    with committed(django_db_blocker):
        now = timezone.now()
        clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        phone = PairedPhone(patient_add(by=clinician, name="Wilma Tarn", now=now), clinician, now)
        acts = (
            lambda: push_at(phone, now, claim=True),
            lambda: Phone.objects.update(state="active") and _revoke(phone.row.id, now),
        )

        came = at_once(2, lambda n: [acts[n]() for _ in range(40)])

        assert [one for one in came if isinstance(one, Exception)] == []


def _revoke(phone_id, now) -> None:
    phone_revoke(phone=Phone.objects.get(id=phone_id), state="replaced", now=now)
