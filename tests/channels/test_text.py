"""What goes to a gateway for text messages, and what each of its answers means."""

import json
import logging
from datetime import timedelta
from uuid import UUID

import pytest

from clinician.services.channels.outcome import Outcome
from clinician.services.channels.route import Message
from clinician.services.channels.text import Text, TextChannel, words_of

ID = UUID("0197a9c2-7d8e-7a3c-9b1e-2f4d5c6b7a89")
MINUTE = timedelta(minutes=1)
SECRET = "Bearer canary-secret-5512"
STOP = "https://app.example/stop/x1"
WORDINGS = ["nothing_logged", "nothing_heard", "contact"]


def message_of(now, language="en", wording="nothing_logged", stop=STOP) -> Message:
    until = now + 60 * MINUTE
    return Message(ID, language, wording, until, "https://app.example/p/", stop)


@pytest.fixture
def gateway(service, settings):
    service.tls = False
    settings.TEXT_URL = f"http://127.0.0.1:{service.port}/send?from=clinic"
    settings.TEXT_HEADER = f"Authorization: {SECRET}"
    return service


@pytest.fixture
def send(now):
    def sent(until=None, **message) -> Outcome:
        to = Text("+441632960001", message_of(now, **message))
        window = until or to.message.until
        return TextChannel().send(to=to, message_id=ID, until=window, now=now)

    return sent


def test_a_gateway_gets_number_words_and_key(gateway, send):
    assert send() == Outcome.sent()

    (heard,) = gateway.heard
    assert heard.target == "/send?from=clinic"
    assert heard.headers["authorization"] == SECRET
    assert heard.headers["idempotency-key"] == str(ID)
    assert json.loads(heard.body) == {
        "to": "+441632960001",
        "text": f"Boutwise: please open your app today. No more reminders: {STOP}",
        "id": str(ID),
    }


def test_the_operator_names_the_fields(gateway, send, settings):
    settings.TEXT_FIELDS = ["recipient", "message", "reference"]

    send()

    assert set(json.loads(gateway.heard[0].body)) == {"recipient", "message", "reference"}


def test_it_speaks_the_patients_language(gateway, send):
    send(language="es")

    assert "abra hoy su app" in json.loads(gateway.heard[0].body)["text"]


@pytest.mark.parametrize("status", [200, 201, 202, 204])
def test_what_a_gateway_took_is_sent(gateway, send, status):
    gateway.says(status)

    assert send() == Outcome.sent()


@pytest.mark.parametrize("status", [400, 401, 403, 404, 410, 413, 422, 301, 307])
def test_what_a_gateway_refuses_fails_and_is_told_to_the_operator(gateway, send, status, caplog):
    gateway.says(status, Location="http://127.0.0.1:9/elsewhere")

    with caplog.at_level(logging.DEBUG):
        assert send() == Outcome.failed("refused")

    assert f"answered {status}" in caplog.text
    assert [one for one in ("1632", SECRET, STOP) if one in caplog.text] == []


@pytest.mark.parametrize("status", [408, 429, 500, 503])
def test_a_busy_gateway_is_asked_again_when_it_says(gateway, send, status, now):
    gateway.says(status, Retry_After="90")

    assert send() == Outcome.later(now + 1.5 * MINUTE, "busy")


def test_one_that_was_not_answered_is_not_sent_twice(gateway, send, monkeypatch):
    monkeypatch.setattr("clinician.services.channels.wire.SECONDS", 0.3)
    gateway.answer = None

    assert send() == Outcome.unknown("no_answer")


def test_a_gateway_that_is_away_is_asked_again(gateway, send, settings, now):
    settings.TEXT_URL = "http://127.0.0.1:1/send"

    assert send() == Outcome.later(now + 5 * MINUTE, "no_connection")


def test_past_its_window_nothing_is_sent(gateway, send, now):
    assert send(until=now) == Outcome.failed("too_late")
    assert gateway.heard == []


# GSM 7 bit, 3GPP TS 23.038: its letters that our words use.
SEVEN_BIT = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:;/?!'-_=&%()+")


@pytest.mark.parametrize("wording", WORDINGS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_letter_is_one_of_seven_bits(language, wording, now):
    assert set(words_of(message_of(now, language, wording))) <= SEVEN_BIT


@pytest.mark.parametrize("wording", WORDINGS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_it_fits_into_two_parts_and_a_reminder_mostly_into_one(language, wording, now):
    """One part has 160 letters, each of several 153."""
    site, token = "https://app.example", "a" * 66  # an id, a colon and a signature
    told = words_of(message_of(now, language, wording, f"{site}/stop/{token}"))

    assert len(told) <= (160 if wording == "nothing_logged" and language == "en" else 306)
