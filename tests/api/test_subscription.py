import pytest
from rest_framework.test import APIClient

from homeprogram.models import PushSubscription
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.push_keys import public_key
from tests.support.push_service import Receiver

URL = "/api/v1/subscription/"
OURS = {"X-Boutwise": "1"}


@pytest.fixture
def told():
    return Receiver().subscription()


def subscribe(phone, told, **headers):
    return phone.http.post(URL, told, format="json", headers=OURS | headers)


def test_a_phone_hears_the_clinics_key(phone):
    answer = phone.http.get(URL)

    assert answer.status_code == 200
    assert answer.json() == {"key": public_key(), "on": False}


def test_what_a_browser_says_is_taken_as_it_is(phone, told):
    answer = subscribe(phone, told)

    assert answer.status_code == 200
    assert answer.json()["on"] is True
    row = PushSubscription.objects.get()
    assert (row.phone_id, row.patient_id) == (phone.id, phone.row.patient_id)
    assert row.endpoint == told["endpoint"]
    assert phone.http.get(URL).json()["on"] is True


def test_again_changes_nothing(phone, told):
    subscribe(phone, told)
    (before,) = PushSubscription.objects.values()

    assert subscribe(phone, told).status_code == 200
    assert list(PushSubscription.objects.values()) == [before]


def test_it_is_turned_off_as_often_as_one_likes(phone, told):
    subscribe(phone, told)

    answers = [phone.http.delete(URL, headers=OURS).status_code for _ in range(2)]

    assert answers == [204, 204]
    assert phone.http.get(URL).json()["on"] is False


def test_leaving_the_phone_turns_it_off(phone, told):
    subscribe(phone, told)

    phone.http.delete("/api/v1/pairing/", headers=OURS)

    assert PushSubscription.objects.get().ended_why == "turned_off"


@pytest.mark.parametrize("method", ["get", "post", "delete"])
def test_an_unpaired_phone_hears_that_it_is_none(db, told, method):
    said = {} if method == "get" else {"data": told, "format": "json"}
    answer = getattr(APIClient(), method)(URL, **said, headers=OURS)

    assert answer.status_code == 401


def test_a_replaced_phone_may_only_turn_it_off(phone, told, now):
    phone_revoke(phone=phone.row, state="replaced", now=now)

    assert phone.http.get(URL).json()["code"] == "phone_revoked"
    assert subscribe(phone, told).status_code == 401
    assert phone.http.delete(URL, headers=OURS).status_code == 204


def test_another_page_cannot_turn_it_on_or_off(phone, told):
    assert subscribe(phone, told, **{"Sec-Fetch-Site": "cross-site"}).status_code == 403
    assert phone.http.post(URL, told, format="json").status_code == 403
    assert phone.http.delete(URL).status_code == 403
    assert not PushSubscription.objects.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        {},
        {"endpoint": "https://fcm.googleapis.com/fcm/send/one"},
        {"endpoint": 5, "keys": {}},
        {"endpoint": "https://fcm.googleapis.com/x", "keys": "none"},
        {"endpoint": "https://fcm.googleapis.com/x", "keys": {"p256dh": "A" * 500, "auth": "A"}},
        [],
    ],
)
def test_what_is_no_subscription_is_refused(phone, wrong):
    answer = subscribe(phone, wrong)

    assert answer.status_code == 400
    assert answer.json()["code"] == "invalid"


def test_an_address_inside_the_clinics_network_is_refused(phone, told):
    answer = subscribe(phone, told | {"endpoint": "https://192.168.0.10/send"})

    assert answer.status_code == 400
    assert answer.json()["code"] == "endpoint_refused"


def test_a_server_without_push_says_so(phone, monkeypatch):
    monkeypatch.setattr("homeprogram.services.push_keys.find_spec", lambda _: None)

    assert phone.http.get(URL).json() == {"key": None, "on": False}
