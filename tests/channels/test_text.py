"""What goes to a gateway for text messages, and what each of its answers means."""

import json
import logging
from datetime import timedelta
from uuid import UUID

import pytest
from django.urls import reverse

from clinician.models import Reminder
from clinician.services.channels.outcome import Outcome
from clinician.services.channels.route import Message
from clinician.services.channels.text import Text, TextChannel, words_of
from clinician.services.stop_tokens import stop_token

ID = UUID("0197a9c2-7d8e-7a3c-9b1e-2f4d5c6b7a89")
MINUTE = timedelta(minutes=1)
SECRET = "Bearer canary-secret-5512"
STOP = "https://app.example/stop/x1"
WORDINGS = ["nothing_logged", "nothing_heard", "contact"]


def message_of(now, language="en", wording="nothing_logged", stop=STOP, closed=False) -> Message:
    until = now + 60 * MINUTE
    return Message(ID, language, wording, until, "https://app.example/p/", stop, closed)


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
SEVEN_BIT = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:;/?!'-_=&%()+é")


@pytest.mark.parametrize("closed", [False, True])
@pytest.mark.parametrize("wording", WORDINGS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_letter_is_one_of_seven_bits(language, wording, closed, now):
    assert set(words_of(message_of(now, language, wording, closed=closed))) <= SEVEN_BIT


@pytest.mark.parametrize("closed", [False, True])
@pytest.mark.parametrize("wording", WORDINGS)
@pytest.mark.parametrize("language", ["en", "es"])
def test_it_is_one_text_message_of_160_letters(language, wording, closed, now):
    path = reverse("reminder-stop", kwargs={"token": stop_token(Reminder(id=ID))})
    told = words_of(message_of(now, language, wording, f"https://app.example{path}", closed))

    assert len(told) <= 160


@pytest.mark.parametrize("wording", WORDINGS)
@pytest.mark.parametrize(
    ("language", "says"),
    [("en", "Nobody is here today"), ("es", "Hoy no hay nadie: la app dice quién atiende")],
)
def test_on_a_closed_day_it_says_that_nobody_is_there(language, says, wording, now):
    told = [words_of(message_of(now, language, wording, closed=closed)) for closed in (True, False)]

    assert [says in one for one in told] == [True, False]
    assert STOP in told[0]
