"""What a phone's credential opens, and when it opens nothing."""

from datetime import timedelta

import pytest
from django.utils import timezone
from rest_framework.test import APIClient

from homeprogram.models import Entry, HeldEntry, Phone
from homeprogram.services.pairing import code_create, phone_confirm, phone_pair, phone_revoke
from tests.conftest import PairedPhone
from tests.entries import make_push
from tests.support.pushes import outcomes

PUSH, PULL = "/api/v1/sync/push/", "/api/v1/sync/pull/"
MORNING = {"swelling": "none", "knee_pain": 2}


def post(browser, url: str = PUSH, **headers):
    return browser.post(
        url, make_push([], high=0), format="json", headers={"X-Boutwise": "1"} | headers
    )


def morning(phone, episode):
    return phone.entry("morning_check", MORNING, episode_id=str(episode.id))


@pytest.fixture
def waiting(patient, clinician, now):
    """The browser of a phone that the clinic has not confirmed."""
    code = code_create(patient=patient, by=clinician, now=now)
    _, token = phone_pair(secret=code.code, label="phone", address="10.0.0.1", now=now)
    browser = APIClient()
    browser.cookies["phone"] = token
    return browser


def test_a_waiting_phone_neither_pushes_nor_pulls(waiting):
    replies = [post(waiting), waiting.get(PULL)]

    assert [reply.status_code for reply in replies] == [403, 403]
    assert [reply.json()["code"] for reply in replies] == ["pairing_waiting"] * 2


@pytest.mark.parametrize("token", [None, "guess"])
def test_a_stranger_neither_pushes_nor_pulls(db, token):
    browser = APIClient()
    if token:
        browser.cookies["phone"] = token

    replies = [post(browser), browser.get(PULL)]

    assert [reply.status_code for reply in replies] == [401, 401]
    assert [reply.json()["code"] for reply in replies] == ["not_paired"] * 2


def test_a_stolen_phone_is_told_so_and_nothing_is_taken(phone, episode):
    phone_revoke(phone=phone.row, state="stolen", now=timezone.now())

    replies = [phone.push(morning(phone, episode)), phone.pull()]

    assert [reply.status_code for reply in replies] == [401, 401]
    assert [(r.json()["code"], r.json()["revoked"]) for r in replies] == [
        ("phone_revoked", "stolen")
    ] * 2
    assert not Entry.objects.exists()
    assert not HeldEntry.objects.exists()


def test_a_replaced_phone_is_told_so_when_it_pulls(phone):
    phone_revoke(phone=phone.row, state="replaced", now=timezone.now())

    reply = phone.pull()

    assert (reply.status_code, reply.json()["revoked"]) == (401, "replaced")


def test_what_a_replaced_phone_sends_is_kept_in_custody(phone, episode, patient, clinician, now):
    PairedPhone(patient, clinician, now, label="new phone")
    entry = morning(phone, episode)

    reply = phone.push(entry)

    (receipt,) = reply.json()["receipts"]
    assert (receipt["outcome"], receipt["reason"]["code"]) == ("held", "phone_replaced")
    assert receipt["sha256"] == entry["sha256"]
    assert HeldEntry.objects.get().raw == entry["body"]


def test_a_second_phone_may_stay_beside_the_first(phone, episode, patient, clinician, now):
    second = PairedPhone(patient, clinician, now, label="tablet", replaces=False)

    both = [one.push(morning(one, episode)) for one in (phone, second)]

    assert [outcomes(reply) for reply in both] == [["stored"], ["stored"]]


@pytest.mark.parametrize("hours_ago", [None, 13])
def test_a_contact_after_half_a_day_renews_the_credential(phone, hours_ago):
    if hours_ago:
        heard = timezone.now() - timedelta(hours=hours_ago)
        Phone.objects.filter(id=phone.id).update(last_contact_at=heard)

    cookie = phone.push().cookies["phone"]

    assert (cookie.value, cookie["max-age"]) == (phone.token, 400 * 24 * 3600)
    assert (cookie["samesite"], bool(cookie["httponly"])) == ("Strict", True)


def test_an_answer_that_was_long_on_its_way_brings_no_old_credential_back(phone):
    phone.push()

    assert [len(reply.cookies) for reply in (phone.push(), phone.pull())] == [0, 0]


def test_a_replaced_phone_keeps_no_credential_alive(phone, now):
    phone_revoke(phone=phone.row, state="replaced", now=now)

    assert len(phone.push().cookies) == 0


@pytest.mark.parametrize(
    "headers",
    [{"X-Boutwise": ""}, {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}],
    ids=str,
)
def test_a_push_from_elsewhere_is_refused(phone, headers):
    reply = post(phone.http, **headers)

    assert (reply.status_code, reply.json()["code"]) == (403, "foreign")


def test_a_form_cannot_push(phone):
    reply = phone.http.post(PUSH, {"protocol": 1}, headers={"X-Boutwise": "1"})

    assert reply.status_code == 415


def test_a_clinicians_session_is_no_phone(desk):
    reply = desk.post(PUSH, {}, content_type="application/json", headers={"X-Boutwise": "1"})

    assert reply.status_code == 401


def test_a_phone_of_an_unconfirmed_pairing_starts_once_confirmed(waiting, patient, clinician, now):
    from homeprogram.models import Phone

    phone_confirm(phone=Phone.objects.get(), by=clinician, now=now)

    assert post(waiting).status_code == 200
