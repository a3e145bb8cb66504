"""Reminders by e-mail against a real SMTP server on loopback, and what such a message may hold."""

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email import message_from_bytes, policy
from email.message import EmailMessage
from html.parser import HTMLParser
from uuid import UUID

import pytest
from aiosmtpd.controller import Controller

from clinician.services.channels.email import EmailChannel, Letter
from clinician.services.channels.outcome import Outcome, Result
from clinician.services.channels.route import Message
from homeprogram.calc.reminders import Wording
from homeprogram.calc.texts import LANGUAGES
from tests.support.live import free_port

NOW = datetime(2030, 3, 4, 18, tzinfo=UTC)
STOP = "https://app.example/stop/0123456789abcdef:signature/"
WORDINGS = [*Wording, "contact"]
# What would tell a stranger that the message is about health, an arm or a leg, a clinic or
# a person. Ours; common practice, no source.
TELLING = re.compile(
    r"\b(knee|leg|thigh|muscle|quadriceps|bout|stimulat\w*|current|pain|skin|exercise|program\w*|"
    r"therap\w*|physio\w*|clinic\w*|patient|health\w*|medic\w*|doctor|nurse|hospital|surger\w*|"
    r"rodilla|pierna|muslo|músculo|corriente|dolor|piel|ejercicio|programa|terap\w*|fisio\w*|"
    r"clínica|paciente|salud|médic\w*|hospital|cirug\w*|sesi[oó]n\w*|"
    r"boutwise|\d+)\b",
    re.IGNORECASE,
)


def message(**changes) -> Message:
    told = {
        "id": UUID(int=7),
        "language": "en",
        "wording": "nothing_logged",
        "until": NOW + timedelta(hours=3),
        "open_url": "https://app.example/p/",
        "stop_url": STOP,
    }
    return Message(**(told | changes))


@dataclass
class Peer:
    """What the server on the other end answers and has taken."""

    says: dict[str, str] = field(default_factory=dict)
    taken: list[bytes] = field(default_factory=list)

    async def handle_MAIL(self, server, session, envelope, address, options):
        envelope.mail_from = address
        return self.says.get("MAIL", "250 OK")

    async def handle_RCPT(self, server, session, envelope, address, options):
        envelope.rcpt_tos.append(address)
        return self.says.get("RCPT", "250 OK")

    async def handle_DATA(self, server, session, envelope):
        if self.says.get("DATA") == "cut":
            self.taken.append(envelope.content)
            server.transport.close()
            return "250 OK"
        if said := self.says.get("DATA"):
            return said
        self.taken.append(envelope.content)
        return "250 OK"


@pytest.fixture
def peer(settings) -> Iterator[Peer]:
    peer = Peer()
    server = Controller(peer, hostname="127.0.0.1", port=free_port())
    server.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_USE_TLS = "127.0.0.1", False
    settings.EMAIL_PORT = server.port
    settings.REMINDER_FROM = "reminder@app.example"
    yield peer
    server.stop()


def send(**changes) -> Outcome:
    told = message(**changes)
    letter = Letter("w@post.example", told)
    return EmailChannel().send(to=letter, message_id=told.id, until=told.until, now=NOW)


def received(peer: Peer) -> EmailMessage:
    return message_from_bytes(peer.taken[0], policy=policy.default)


def test_the_server_takes_one_plain_and_html_message(peer):
    assert send() == Outcome.sent()
    mail = received(peer)

    assert (mail["From"], mail["To"]) == ("reminder@app.example", "w@post.example")
    assert [part.get_content_type() for part in mail.iter_parts()] == ["text/plain", "text/html"]


def test_it_is_stopped_with_one_click_as_rfc_8058_asks(peer):
    """RFC 8058 3.1: an https address, and the other header with just this value."""
    send()
    mail = received(peer)

    assert mail["List-Unsubscribe"] == f"<{STOP}>"
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"


def test_every_try_bears_the_same_name(peer):
    send()
    send()

    assert len({message_from_bytes(one)["Message-ID"] for one in peer.taken}) == 1


@pytest.mark.parametrize(
    ("says", "result", "why"),
    [
        ({"RCPT": "550 5.1.1 no such user w@post.example"}, Result.FAILED, "smtp_550"),
        ({"RCPT": "450 4.2.1 try later"}, Result.LATER, "smtp_450"),
        ({"MAIL": "421 4.3.2 closing"}, Result.LATER, "smtp_421"),
        ({"DATA": "554 5.7.1 refused"}, Result.FAILED, "smtp_554"),
        ({"DATA": "451 4.3.0 busy"}, Result.LATER, "smtp_451"),
    ],
)
def test_what_the_server_answers_decides_what_happens_next(peer, says, result, why):
    """RFC 5321 4.2.1: 4yz may work later, 5yz will not; and its words are never kept."""
    peer.says = says
    outcome = send()

    assert (outcome.result, outcome.why) == (result, why)
    assert peer.taken == []


def test_a_line_that_breaks_after_the_message_leaves_it_unknown(peer):
    """It may have been taken, as here: sent again it would be a second one."""
    peer.says = {"DATA": "cut"}

    assert send().result is Result.UNKNOWN
    assert len(peer.taken) == 1


def test_a_server_that_is_not_there_is_asked_again_later(peer, settings):
    settings.EMAIL_PORT = 9  # nothing listens there

    assert send().result is Result.LATER


def test_nothing_goes_once_its_time_is_over(peer):
    assert send(until=NOW) == Outcome.failed("too_late")
    assert peer.taken == []


class Texts(HTMLParser):
    """What a reader sees, and every address in it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.text, self.addresses = "", []
        self.feed(page)

    def handle_data(self, data: str) -> None:
        self.text += f" {data} "

    def handle_starttag(self, tag: str, attrs: list) -> None:
        self.addresses += [value for name, value in attrs if name in {"href", "src"}]


@pytest.mark.parametrize(
    ("language", "says"),
    [
        ("en", "Nobody is here today. Your app says who answers."),
        ("es", "Hoy no hay nadie aquí. Su aplicación dice quién atiende."),
    ],
)
def test_on_a_closed_day_both_parts_say_that_nobody_is_there(peer, language, says):
    for closed in (True, False):
        send(language=language, closed=closed)
    told, other = (
        [part.get_content() for part in message_from_bytes(one, policy=policy.default).iter_parts()]
        for one in peer.taken
    )

    assert [says in part for part in told] == [True, True]
    assert [says in part for part in other] == [False, False]


@pytest.mark.parametrize(
    ("language", "wording", "closed"), list(itertools.product(LANGUAGES, WORDINGS, (False, True)))
)
def test_no_message_tells_of_health_a_clinic_or_a_person(peer, language, wording, closed):
    send(language=language, wording=wording, closed=closed)
    mail = received(peer)
    plain = mail.get_body(("plain",)).get_content()
    page = Texts(mail.get_body(("html",)).get_content())
    seen = " ".join([mail["Subject"], mail["From"], plain, page.text])
    seen = seen.replace(STOP, "").replace("https://app.example/p/", "")

    assert TELLING.findall(seen) == []
    assert not re.search(r"message\.\w", seen)  # a key without words
    assert set(page.addresses) == {STOP, "https://app.example/p/"}


def test_the_word_list_finds_what_it_must():
    told = "Your knee clinic: 2 bouts left", "El ejercicio de su rodilla"

    assert [len(TELLING.findall(one)) for one in told] == [3, 2]
