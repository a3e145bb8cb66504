"""Pushes that are refused as a whole: nothing of them is stored."""

import json

import pytest
from rest_framework.test import APIClient

from homeprogram.models import Entry, HeldEntry
from tests.entries import make_push
from tests.support.pushes import outcomes, push_escaped

URL = "/api/v1/sync/push/"
MORNING = {"swelling": "none", "knee_pain": 2}


@pytest.fixture
def morning(phone, episode):
    """A good entry that must not slip through a refused push."""
    return lambda **body: phone.entry("morning_check", MORNING, episode_id=str(episode.id), **body)


def send(phone, *entries, **change):
    message = make_push(entries, high=phone.high) | change
    return phone.http.post(URL, message, format="json", headers={"X-Boutwise": "1"})


def refused(reply, status: int) -> dict:
    """The error, once it is sure that nothing was stored."""
    assert reply.status_code == status, reply.content
    assert not Entry.objects.exists()
    assert not HeldEntry.objects.exists()
    error = reply.json()
    assert set(error) == {"code", "message", "fields"}
    return error


def test_250_entries_are_taken_and_251_are_too_many(phone, morning):
    most = [morning() for _ in range(250)]

    too_many = refused(phone.push(*most, morning()), 413)
    taken = phone.push(*most)

    assert too_many["code"] == "too_large"
    assert outcomes(taken) == ["stored"] * 250


def test_256_kilobytes_are_taken_and_one_more_is_too_much(phone, morning):
    message = json.dumps(make_push([morning()], high=1))
    send = {"content_type": "application/json", "headers": {"X-Boutwise": "1"}}

    too_much = phone.http.post(URL, message.ljust(262_145), **send)
    error = refused(too_much, 413)
    taken = phone.http.post(URL, message.ljust(262_144), **send)

    assert error["code"] == "too_large"
    assert outcomes(taken) == ["stored"]


def test_many_megabytes_are_refused_like_one_byte_too_many(phone):
    reply = phone.http.post(
        URL, "[" * 3_000_000, content_type="application/json", headers={"X-Boutwise": "1"}
    )

    assert refused(reply, 413)["code"] == "too_large"


@pytest.mark.parametrize("shape", [{}, {"entries": None, "claim": "later"}], ids=["same", "other"])
def test_another_protocol_is_too_old_whatever_its_shape(phone, morning, shape):
    reply = send(phone, morning(), protocol=0, **shape)

    assert refused(reply, 426)["code"] == "protocol_too_old"


@pytest.mark.parametrize(
    "change",
    [
        {"protocol": None},
        {"protocol": "one"},
        {"nonce": ""},
        {"nonce": "n" * 65},
        {"high": -1},
        {"high": 2**31},
        {"have_revision": ["all"]},
        {"have_revision": "none"},
        {"entries": {}},
        {"entries": ["text"]},
        {"claim": {"at_ms": 1}},
        {"claim": {"at_ms": -1, "offset_min": 0, "zone": "UTC", "high": 1}},
        {"sent_ms": "now"},
        {"sent_ms": -1},
        {"build": "b" * 41},
    ],
    ids=str,
)
def test_a_malformed_push_names_the_field_at_fault(phone, morning, change):
    error = refused(send(phone, morning(), **change), 400)

    assert list(error["fields"]) == list(change)
    assert all(isinstance(sentence, str) for sentence in error["fields"].values())


@pytest.mark.parametrize(
    "item",
    [
        {"body": "{}"},
        {"sha256": "0" * 64},
        {"body": {}, "sha256": "0" * 64},
        {"body": None, "sha256": "0" * 64},
        {"body": "{}", "sha256": "0" * 63},
        {"body": "{}", "sha256": "A" * 64},
    ],
    ids=str,
)
def test_an_item_without_a_text_and_its_hash_makes_the_push_malformed(phone, morning, item):
    assert list(refused(phone.push(morning(), item), 400)["fields"]) == ["entries"]


@pytest.mark.parametrize("missing", list(make_push([], high=0)))
def test_nothing_of_a_push_may_be_left_out(phone, morning, missing):
    message = make_push([morning()], high=1)
    del message[missing]

    reply = phone.http.post(URL, message, format="json", headers={"X-Boutwise": "1"})

    assert list(refused(reply, 400)["fields"]) == [missing]


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "null", '"push"', "NaN", "[" * 200_000, '{"a":' * 40_000, "\ud800"],
    ids=["empty", "cut", "list", "null", "text", "NaN", "deep list", "deep object", "surrogate"],
)
def test_what_is_no_push_at_all_is_refused(phone, text):
    raw = text.encode(errors="surrogatepass")

    reply = phone.http.post(URL, raw, content_type="application/json", headers={"X-Boutwise": "1"})

    refused(reply, 400)


@pytest.mark.parametrize("method", ["get", "put", "patch", "delete"])
def test_only_post_is_answered(phone, method):
    reply = getattr(phone.http, method)(URL, headers={"X-Boutwise": "1"})

    refused(reply, 405)


def test_a_stranger_hears_401_before_anything_is_read(db):
    reply = APIClient().post(URL, "{", content_type="application/json", headers={"X-Boutwise": "1"})

    assert refused(reply, 401)["code"] == "not_paired"


def test_a_phone_that_heard_a_refusal_can_send_the_same_again(phone, morning):
    entry = morning()
    refused(phone.push(entry, sent_ms=-1), 400)

    assert outcomes(push_escaped(phone, entry)) == ["stored"]
