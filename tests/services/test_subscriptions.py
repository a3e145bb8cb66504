import pytest
from django.db import transaction

from clinician.services.channels.outcome import Outcome
from clinician.services.channels.push import Notice, PushChannel
from homeprogram.errors import RuleBroken
from homeprogram.models import PushSubscription
from homeprogram.selectors.subscriptions import is_subscribed, live_subscriptions
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.patients import patient_add
from homeprogram.services.subscriptions import subscription_record, subscription_turn_off
from tests.conftest import PairedPhone
from tests.support.push_service import Receiver


@pytest.fixture
def receiver():
    return Receiver()


@pytest.fixture
def record(phone, receiver, now):
    def recorded(whose=None, told=None, **changes):
        told = (told or receiver.subscription()) | changes
        row = (whose or phone).row
        return subscription_record(phone=row, endpoint=told["endpoint"], now=now, **told["keys"])

    return recorded


def test_a_phone_that_says_it_again_is_one_subscription(record, phone):
    first, again = record(), record()

    assert first.id == again.id
    assert [one.id for one in live_subscriptions(patient_id=phone.row.patient_id)] == [first.id]


def test_a_renewed_subscription_takes_the_place_of_the_old_one(record, receiver):
    record()
    record(told=receiver.subscription("/fcm/send/two"))

    (row,) = PushSubscription.objects.all()
    assert row.endpoint.endswith("/two")


def test_turned_off_nothing_is_kept_that_could_reach_the_phone(record, phone, now):
    record()
    subscription_turn_off(phone=phone.row, now=now)

    row = PushSubscription.objects.get()
    assert (row.endpoint, row.p256dh, row.auth) == ("", "", "")
    assert (row.ended_at, row.ended_why) == (now, "turned_off")
    assert live_subscriptions(patient_id=phone.row.patient_id) == []


def test_turned_on_again_it_lasts_again(record, phone, now):
    record()
    subscription_turn_off(phone=phone.row, now=now)
    record()

    assert is_subscribed(phone=phone.row)
    assert PushSubscription.objects.get().ended_why == ""


@pytest.mark.parametrize("state", ["replaced", "stolen"])
def test_a_phone_whose_access_ended_is_reached_no_more(record, phone, now, state):
    record()
    phone_revoke(phone=phone.row, state=state, now=now)

    assert PushSubscription.objects.get().ended_why == "revoked"


def test_a_replaced_phone_is_reached_no_more(record, patient, clinician, now):
    record()
    PairedPhone(patient, clinician, now, label="new phone")

    assert PushSubscription.objects.get().ended_why == "revoked"


def test_a_second_phone_beside_the_first_is_reached_too(record, patient, clinician, now):
    record()
    second = PairedPhone(patient, clinician, now, label="tablet", replaces=False)
    record(second, Receiver().subscription("/fcm/send/tablet"))

    assert len(live_subscriptions(patient_id=patient.id)) == 2


def test_a_browser_that_was_paired_anew_rings_for_its_new_pairing_alone(
    record, phone, outsider, now
):
    stranger = patient_add(by=outsider, name="Osk Fenn", now=now)
    other = PairedPhone(stranger, outsider, now)
    record()
    record(other)

    old, new = (PushSubscription.objects.get(phone=one.row) for one in (phone, other))
    assert (old.ended_why, old.endpoint) == ("moved", "")
    assert (new.ended_why, new.patient_id) == ("", stranger.id)


@pytest.mark.parametrize(
    "endpoint",
    [
        "http://fcm.googleapis.com/fcm/send/one",
        "https://127.0.0.1/fcm/send/one",
        "https://fcm.googleapis.com:8443/fcm/send/one",
        "https://fcm.googleapis.com@evil.example/",
        "https://evil.example/fcm.googleapis.com",
    ],
)
def test_an_address_that_is_no_push_service_is_refused(record, endpoint):
    with pytest.raises(RuleBroken) as refused:
        record(endpoint=endpoint)

    assert refused.value.code == "endpoint_refused"
    assert not PushSubscription.objects.exists()


@pytest.mark.parametrize(
    "keys",
    [
        {"p256dh": "B" * 87},  # not a point of the curve
        {"p256dh": "AAAA"},
        {"p256dh": "*" * 87},
        {"auth": "AAAA"},
        {"auth": "not base64url!"},
    ],
)
def test_keys_that_nothing_can_be_encrypted_for_are_refused(record, receiver, keys):
    with pytest.raises(RuleBroken) as refused:
        record(keys=receiver.subscription()["keys"] | keys)

    assert refused.value.code == "keys_unusable"


def test_a_server_that_sends_none_takes_none(record, monkeypatch):
    monkeypatch.setattr("homeprogram.services.push_keys.find_spec", lambda _: None)

    with pytest.raises(RuleBroken) as refused:
        record()

    assert refused.value.code == "push_off"


# --- what an outcome means for the subscription ------------------------------


@pytest.fixture
def settle(now):
    def settled(subscription, outcome):
        PushChannel().settle(to=Notice(subscription, "nothing_logged"), outcome=outcome, now=now)
        subscription.refresh_from_db()
        return subscription

    return settled


def test_one_that_is_gone_is_forgotten(record, settle):
    row = settle(record(), Outcome.gone("unknown_there"))

    assert (row.ended_why, row.endpoint, row.p256dh, row.auth) == ("gone", "", "", "")


def test_one_that_was_renewed_while_the_old_one_was_tried_stays(record, receiver, settle):
    old = record()
    record(told=receiver.subscription("/fcm/send/two"))

    row = settle(old, Outcome.gone("unknown_there"))

    assert (row.ended_why, row.endpoint[-4:]) == ("", "/two")


def test_what_was_not_taken_is_counted_until_one_is_taken(record, settle, now):
    row = record()
    settle(row, Outcome.later(now, "busy"))
    settle(row, Outcome.failed("key_refused"))
    assert (row.failures, row.failed_why) == (2, "key_refused")

    settle(row, Outcome.sent())
    assert (row.failures, row.failed_why, row.last_ok_at) == (0, "", now)


def test_a_long_fault_is_cut_to_what_the_column_takes(record, settle):
    """The name of an exception can be longer; PostgreSQL refuses what does not fit."""
    row = settle(record(), Outcome.unknown("ConnectionRefusedError"))

    assert (row.failures, row.failed_why) == (1, "ConnectionRefusedErr")
    row.full_clean()


def test_the_end_of_a_subscription_goes_with_the_transaction_that_records_it(record, settle):
    row = record()
    with transaction.atomic():
        settle(row, Outcome.gone("unknown_there"))
        transaction.set_rollback(True)

    row.refresh_from_db()
    assert row.ended_why == ""
