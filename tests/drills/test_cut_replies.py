"""The network cuts, delays and doubles pushes: sent again, each entry is there once."""

import json
from contextlib import ExitStack

import pytest

from tests.support.audit import audit, stored
from tests.support.drilled import DATABASES, drilled, phones_of
from tests.support.fault_proxy import NONE, Fault, FaultProxy

ITEMS = 20
STEP = 211  # a prime: no field of a receipt stands at each of its multiples
AT_ONCE = 6


@pytest.fixture(scope="module", params=DATABASES)
def line(request, tmp_path_factory):
    """A server, the proxy before it, and phones that reach it only through the proxy."""
    with ExitStack() as keep:
        server = drilled(keep, request.param, tmp_path_factory.mktemp("cut") / "clinic", workers=2)
        phones = phones_of(server, 12)
        server.start()
        proxy = keep.enter_context(FaultProxy(server.port))
        for phone in phones:
            phone.url = proxy.url
        yield server, proxy, phones


@pytest.fixture(autouse=True)
def calm(line):
    line[1].fault = NONE


def met(phone):
    """Paired and settled, so that the next request is a push."""
    assert phone.round() == "settled"
    return phone


def test_a_reply_cut_at_any_byte_confirms_nothing_and_loses_nothing(line, long_run, tally):
    server, proxy, phones = line
    step = 1 if long_run else STEP
    phones = [met(phone) for phone in phones[:4]]
    at, whole, cuts = 0, 1, 0
    while at < whole:
        phone = phones[cuts % len(phones)]
        rows = [phone.save() for _ in range(ITEMS)]
        proxy.fault = Fault(cut_reply_at=at)
        # Cut within its headers it may read as an answer, but never as ours.
        assert phone.round() in {"offline", "no_sense"}
        assert not {row.id for row in rows} & phone.acknowledged.keys()
        whole = len(proxy.replies[-1])
        proxy.fault = NONE
        assert phone.round() == "settled"
        assert {phone.first_outcome[row.id] for row in rows} == {"already"}
        at, cuts = at + step, cuts + 1

    result = audit(server, phones)
    tally(f"replies cut {cuts}; {result}")
    assert result.faults == {}
    assert cuts * ITEMS == result.saved == result.never_told > 0


def test_a_request_cut_at_any_byte_stores_nothing_of_it(line, long_run, tally):
    server, proxy, phones = line
    phone = met(phones[4])
    cuts = 0
    for at in range(0, 12_000, 97 if long_run else 2_999):
        rows = [phone.save() for _ in range(ITEMS)]
        proxy.fault = Fault(cut_request_at=at)
        assert phone.round() == "offline"
        assert not {row.id for row in rows} & stored(server)
        proxy.fault = NONE
        assert phone.round() == "settled"
        cuts += 1

    result = audit(server, [phone])
    tally(f"requests cut {cuts}; {result}")
    assert result.faults == {}


def test_a_push_that_arrives_many_times_at_once_is_stored_once(line, long_run, tally):
    server, proxy, phones = line
    phone = met(phones[5])
    pushes = 200 if long_run else 4
    for _ in range(pushes):
        for _ in range(ITEMS):
            phone.save()
        proxy.fault = Fault(times=AT_ONCE, in_parallel=True)
        assert phone.round() == "settled"

    result = audit(server, [phone])
    tally(f"pushes doubled {pushes} x {AT_ONCE}; {result}")
    assert result.faults == {}


def test_every_copy_of_a_doubled_push_hears_the_same_receipts(line):
    _, proxy, phones = line
    phone = met(phones[6])
    rows = [phone.save() for _ in range(ITEMS)]
    proxy.fault = Fault(times=AT_ONCE, in_parallel=True)
    phone.push(rows)
    proxy.fault = NONE

    heard = [receipts(reply) for reply in proxy.replies]

    assert len(heard) == AT_ONCE
    assert len({frozenset(names) for names, _ in heard}) == 1
    assert sorted(outcome for _, outcome in heard) == ["already"] * (AT_ONCE - 1) + ["stored"]


def receipts(reply: bytes) -> tuple[set[tuple], str]:
    """What a reply names, and the one word it has for all of it."""
    listed = json.loads(reply.partition(b"\r\n\r\n")[2])["receipts"]
    (outcome,) = {one["outcome"] for one in listed}
    return {(one["id"], one["sha256"], one["version"]) for one in listed}, outcome


def test_a_reply_that_comes_after_the_phone_gave_up_changes_nothing(line):
    server, proxy, phones = line
    phone = met(phones[7])
    for _ in range(ITEMS):
        phone.save()
    proxy.fault, phone.timeout_s = Fault(delay_s=1.5), 1
    assert phone.round() == "offline"
    proxy.fault, phone.timeout_s = NONE, 15

    assert phone.round() == "settled"
    assert set(phone.first_outcome.values()) == {"already"}
    assert audit(server, [phone]).faults == {}
