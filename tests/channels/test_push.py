"""What is sent to a push service, and what each of its answers means."""

import logging
from datetime import datetime, timedelta
from email.utils import format_datetime
from urllib.parse import urlsplit
from uuid import UUID, uuid4

import pytest

from clinician.services.channels.outcome import Outcome
from clinician.services.channels.push import Notice, PushChannel
from homeprogram.calc.base64url import packed
from homeprogram.calc.reminders import Wording
from homeprogram.services.push_keys import public_key
from tests.channels.test_push_vectors import verified

ID = UUID("0197a9c2-7d8e-7a3c-9b1e-2f4d5c6b7a89")
MINUTE = timedelta(minutes=1)


@pytest.fixture
def send(service, subscription, now):
    def sent(
        message_id: UUID = ID,
        until: datetime | None = None,
        wire=None,
        wording: str = "nothing_logged",
    ) -> Outcome:
        channel = PushChannel(wire or service.wire())
        window = until or now + timedelta(hours=6)
        notice = Notice(subscription, wording)
        return channel.send(to=notice, message_id=message_id, until=window, now=now)

    return sent


@pytest.mark.parametrize(("wording", "letter"), [("nothing_logged", "l"), ("nothing_heard", "h")])
def test_a_phone_reads_the_id_which_words_and_nothing_else(
    send, service, receiver, wording, letter
):
    assert send(wording=wording) == Outcome.sent()

    (heard,) = service.heard
    assert receiver.reads(heard.body).decode() == ID.hex + letter


def test_every_message_is_of_one_size(send, service):
    for wording in Wording:
        for _ in range(3):
            send(uuid4(), wording=wording)

    # 86 bytes of head (RFC 8188 and the sender's point), 33 of ours, 1 that ends, 16 of tag.
    assert {len(heard.body) for heard in service.heard} == {136}


def test_it_says_how_long_what_for_and_how_pressing(send, service, now):
    send(until=now + 90 * MINUTE)

    (heard,) = service.heard
    assert heard.target == "/fcm/send/one"
    assert heard.headers["ttl"] == "5400"
    assert heard.headers["urgency"] == "normal"
    assert heard.headers["content-encoding"] == "aes128gcm"
    # RFC 8030 5.4: at most 32 characters of base64url.
    assert len(heard.headers["topic"]) == 32
    assert set(heard.headers["topic"]) <= set(
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
    )


def test_a_newer_reminder_has_the_topic_of_the_one_that_waits(send, service):
    send(uuid4())
    send(uuid4())

    assert len({heard.headers["topic"] for heard in service.heard}) == 1


def test_the_sender_is_named_as_rfc_8292_says(send, service, subscription, now):
    send()

    scheme, _, told = service.heard[0].headers["authorization"].partition(" ")
    parts = dict(part.split("=", 1) for part in told.split(","))
    claims = verified(parts["t"], parts["k"])
    assert scheme == "vapid"
    assert parts["k"] == public_key()
    assert claims["aud"] == "https://fcm.googleapis.com"
    assert 0 < claims["exp"] - now.timestamp() <= 24 * 3600
    assert claims["sub"] == "mailto:clinic@localhost"


def test_another_key_pair_signs_at_once(send, service, settings):
    from homeprogram.services import push_keys

    send()
    settings.PUSH_KEY = push_keys._new_key()
    send()

    keys = [heard.headers["authorization"].partition("k=")[2] for heard in service.heard]
    assert keys[0] != keys[1] == public_key()


@pytest.mark.parametrize("status", [200, 201, 202, 204])
def test_what_a_service_took_is_sent(send, service, status):
    service.says(status)

    assert send() == Outcome.sent()


@pytest.mark.parametrize("status", [404, 410])
def test_what_a_service_does_not_know_is_gone(send, service, status):
    service.says(status)

    assert send() == Outcome.gone("unknown_there")


@pytest.mark.parametrize(
    ("status", "why"),
    [
        (400, "malformed"),
        (401, "key_refused"),
        (403, "key_refused"),
        (413, "too_large"),
        (405, "refused"),
        (451, "refused"),
    ],
)
def test_what_is_our_own_fault_fails_and_is_told_to_the_operator(
    send, service, caplog, status, why
):
    service.says(status)

    with caplog.at_level(logging.ERROR):
        assert send() == Outcome.failed(why)

    assert f"fcm.googleapis.com answered {status}: {why}" in caplog.text


@pytest.mark.parametrize("status", [408, 429, 500, 502, 503, 504])
def test_a_busy_service_is_asked_again_when_it_says(send, service, now, status):
    service.says(status, Retry_After="120")

    assert send() == Outcome.later(now + 2 * MINUTE, "busy")


def test_a_busy_service_may_name_a_date(send, service, now):
    service.says(503, Retry_After=format_datetime(now + 10 * MINUTE, usegmt=True))

    assert send() == Outcome.later(now + 10 * MINUTE, "busy")


@pytest.mark.parametrize("nonsense", ["soon", "-5", "", "1.5", "99999999999999999999", "٣"])
def test_a_senseless_time_to_wait_is_five_minutes(send, service, now, nonsense):
    service.says(429, Retry_After=nonsense)

    assert send() == Outcome.later(now + 5 * MINUTE, "busy")


@pytest.mark.parametrize("asked", ["0", "Thu, 01 Jan 1970 00:00:00 GMT"])
def test_nobody_is_asked_again_within_half_a_minute(send, service, now, asked):
    service.says(429, Retry_After=asked)

    assert send() == Outcome.later(now + MINUTE / 2, "busy")


def test_a_wait_past_the_window_is_no_reminder_any_more(send, service, now):
    service.says(429, Retry_After="3600")

    assert send(until=now + 60 * MINUTE) == Outcome.failed("too_late")


def test_past_its_window_nothing_is_sent(send, service, now):
    assert send(until=now) == Outcome.failed("too_late")
    assert service.heard == []


@pytest.mark.parametrize("status", [301, 302, 303, 307, 308])
def test_a_redirect_is_not_followed(send, service, status):
    service.says(status, Location="https://fcm.googleapis.com/elsewhere")

    assert send() == Outcome.failed("redirected")
    assert len(service.heard) == 1


def test_the_log_holds_no_secret(send, service, subscription, caplog):
    for status in (400, 403, 413, 500, 302):
        service.says(status)
        send()

    with caplog.at_level(logging.DEBUG):
        send(wire=service.wire("10.0.0.1"))
    path = urlsplit(subscription.endpoint).path
    secrets = [path, subscription.p256dh, subscription.auth, ID.hex, str(ID), "Wilma", "body"]
    assert caplog.text
    assert [one for one in secrets if one in caplog.text] == []


def test_no_byte_on_the_way_tells_of_the_patient(send, service, subscription, receiver):
    send()

    (heard,) = service.heard
    outgoing = repr((heard, receiver.reads(heard.body)))
    rows = (subscription, subscription.phone, subscription.patient, subscription.clinic)
    told = [form for row in rows for form in (str(row.id), row.id.hex, packed(row.id.bytes))]
    told += [subscription.patient.name, "Wilma", "Larkrise"]
    assert [one for one in told if one in outgoing] == []


def test_a_server_without_the_extra_sends_nothing(send, service, monkeypatch):
    monkeypatch.setattr("homeprogram.services.push_keys.find_spec", lambda _: None)

    assert send() == Outcome.failed("push_off")


def test_a_service_taken_off_the_list_is_not_called(send, service, settings):
    settings.PUSH_HOSTS = ("*.push.apple.com",)

    assert send() == Outcome.failed("endpoint_refused")
    assert service.heard == []
