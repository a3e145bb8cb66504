"""Whoever names an address for us to call must not reach anything but a push service."""

import time
from dataclasses import replace
from threading import Event

import pytest

from clinician.services.channels import wire as wires
from clinician.services.channels.wire import NotReached, Unanswered, Wire, addresses_of
from tests.support.push_service import HOST, PUBLIC, PushService

URL = f"https://{HOST}/fcm/send/one"


def post(wire: Wire, url: str = URL):
    return wire.post(url, headers={"TTL": "60"}, body=b"abc")


def why(wire: Wire, url: str = URL) -> str:
    with pytest.raises(NotReached) as refused:
        post(wire, url)
    return refused.value.why


@pytest.mark.parametrize(
    "address",
    [
        "127.0.0.1",
        "10.1.2.3",
        "172.16.0.9",
        "192.168.1.1",
        "169.254.169.254",
        "100.64.0.1",
        "0.0.0.0",
        "::1",
        "::ffff:127.0.0.1",
        "fe80::1%eth0",
        "fd00::1",
        "64:ff9b::7f00:1",
        "2002:7f00:1::",
    ],
)
def test_a_name_that_stands_for_an_inner_address_is_not_called(service, address):
    assert why(service.wire(address)) == "not_public"
    assert service.dialled == []


def test_one_inner_address_among_public_ones_refuses_them_all(service):
    assert why(service.wire(PUBLIC, "10.0.0.1")) == "not_public"
    assert service.dialled == []


def test_the_address_that_was_looked_at_is_the_one_that_is_called(service):
    answers = iter([[PUBLIC], ["127.0.0.1"]])  # a name that is bound anew after the first look
    wire = replace(service.wire(), resolve=lambda host, port: next(answers))

    assert post(wire).status == 201

    assert service.dialled == [(PUBLIC, 443)]


def test_the_next_address_is_tried_where_nobody_answers(service):
    def dial(address, timeout):
        if address[0] == "198.41.0.5":
            raise ConnectionRefusedError
        return service._dial(address, timeout)

    wire = replace(service.wire("198.41.0.5", PUBLIC), dial=dial)

    assert post(wire).status == 201


def test_a_certificate_for_another_name_is_no_push_service(tmp_path):
    with PushService(tmp_path, names=("evil.example",)).open() as other:
        assert why(other.wire()) == "no_connection"
        assert other.heard == []


def test_a_service_without_tls_is_not_spoken_to(service):
    service.tls = False
    service.answer = b"HTTP/1.1 201 Created\r\n\r\n"

    assert why(service.wire()) == "no_connection"


def test_a_name_nobody_knows_is_not_reached():
    def unknown(host, port):
        raise OSError

    assert why(Wire(resolve=unknown)) == "no_such_host"


@pytest.mark.parametrize("label", ["", "a" * 64])
def test_a_name_that_can_be_none_is_not_reached(label):
    """RFC 1035 2.3.4: a label has 1 to 63 octets. Both fit a pattern like *.push.example."""
    assert why(Wire(), f"https://{label}.push.example/one") == "no_such_host"


@pytest.mark.parametrize(
    "answer",
    [
        b"",
        b"SSH-2.0-OpenSSH_9\r\n\r\n",
        b"HTTP/1.1 201 Created\r\n",
        b"HTTP/1.1 two hundred\r\n\r\n",
        b"HTTP/1.1 201 Created\r\nX: " + b"x" * 100_000,
    ],
)
def test_what_is_no_answer_is_none(service, answer):
    service.answer = answer

    with pytest.raises(Unanswered):
        post(service.wire())


def test_an_answer_without_end_is_read_no_further_than_its_head(service):
    service.answer = b"HTTP/1.1 201 Created\r\n\r\n" + b"x" * 1_000_000

    assert post(service.wire()).status == 201


def test_a_service_that_never_answers_is_not_waited_for(service, monkeypatch):
    monkeypatch.setattr(wires, "SECONDS", 0.3)
    service.answer = None

    with pytest.raises(Unanswered):
        post(service.wire())


def test_a_name_that_is_looked_up_for_ever_is_not_waited_for(service, monkeypatch):
    monkeypatch.setattr(wires, "SECONDS", 0.3)
    released = Event()
    began = time.monotonic()

    def never(host: str, port: int) -> list[str]:
        released.wait(20)
        return [PUBLIC]

    assert why(replace(service.wire(), resolve=never)) == "no_such_host"
    assert time.monotonic() - began < 10
    released.set()


def test_an_answer_that_drips_gets_no_more_time(service, monkeypatch):
    monkeypatch.setattr(wires, "SECONDS", 0.3)
    answer = b"HTTP/1.1 201 Created\r\n\r\n"

    def drip(line):
        with line:
            for at in range(len(answer)):
                line.sendall(answer[at : at + 1])
                time.sleep(0.05)

    service._talk = drip

    with pytest.raises(Unanswered):
        post(service.wire())


def test_a_name_is_looked_up_once_for_all_its_addresses():
    assert "127.0.0.1" in addresses_of("localhost", 443)
