"""What goes to a gateway for text messages, and what each of its answers means."""

import json
import logging
from datetime import timedelta
from uuid import UUID

import pytest

from clinician.services.channels.outcome import Outcome
from clinician.services.channels.text import TextChannel, TextTo, words_of
from homeprogram.calc.reminders import Wording

ID = UUID("0197a9c2-7d8e-7a3c-9b1e-2f4d5c6b7a89")
MINUTE = timedelta(minutes=1)
SECRET = "Bearer canary-secret-5512"


@pytest.fixture
def gateway(service, settings):
    service.tls = False
    settings.TEXT_URL = f"http://127.0.0.1:{service.port}/send?from=clinic"
    settings.TEXT_HEADER = f"Authorization: {SECRET}"
    return service


@pytest.fixture
def send(now):
    def sent(number="+44 1632 960-001", until=None, **to) -> Outcome:
        whom = TextTo(number, to.get("language", "en"), "https://clinic.example/r/x1")
        window = until or now + 60 * MINUTE
        return TextChannel().send(to=whom, message_id=ID, until=window, now=now)

    return sent


def test_it_is_off_until_a_gateway_is_named(send):
    assert not TextChannel().available()
    assert send() == Outcome.failed("text_off")


def test_a_gateway_gets_number_words_and_key(gateway, send):
    assert send() == Outcome.sent()

    (heard,) = gateway.heard
    assert heard.target == "/send?from=clinic"
    assert heard.headers["authorization"] == SECRET
    assert heard.headers["idempotency-key"] == str(ID)
    assert json.loads(heard.body) == {
        "to": "+441632960001",
        "text": "Boutwise: please open your app today. No more reminders: https://clinic.example/r/x1",
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

    with caplog.at_level(logging.ERROR):
        assert send() == Outcome.failed("refused")

    assert f"answered {status}" in caplog.text
    assert [one for one in ("1632", SECRET, "x1") if one in caplog.text] == []


@pytest.mark.parametrize("status", [408, 429, 500, 503])
def test_a_busy_gateway_is_asked_again_when_it_says(gateway, send, status, now):
    gateway.says(status, Retry_After="90")

    assert send() == Outcome.later(now + 1.5 * MINUTE, "busy")


def test_one_that_was_not_answered_is_not_sent_twice(gateway, send, monkeypatch):
    monkeypatch.setattr("clinician.services.channels.wire.SECONDS", 0.3)
    gateway.answer = None

    assert send() == Outcome.failed("no_answer")


def test_a_gateway_that_is_away_is_asked_again(gateway, send, settings, now):
    settings.TEXT_URL = "http://127.0.0.1:1/send"

    assert send() == Outcome.later(now + 5 * MINUTE, "no_connection")


@pytest.mark.parametrize("number", ["", "ask his wife", "12", "+44 1632 960001; 960002", "1" * 20])
def test_what_is_no_number_is_not_sent(gateway, send, number):
    assert send(number) == Outcome.failed("no_number")
    assert gateway.heard == []


def test_past_its_window_nothing_is_sent(gateway, send, now):
    assert send(until=now) == Outcome.failed("too_late")
    assert gateway.heard == []


@pytest.mark.parametrize("wording", Wording)
@pytest.mark.parametrize("language", ["en", "es"])
def test_it_fits_one_text_message(language, wording):
    """160 characters of GSM 7 bit (3GPP TS 23.038), with a link of 60."""
    plain = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:;/?!'-_=&%()+")

    told = words_of(TextTo("", language, "https://" + "a" * 52, wording))

    assert len(told) <= 160
    assert set(told) <= plain
