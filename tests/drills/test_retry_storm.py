"""Many phones come back at once, after an outage that told them odd times to wait."""

import random
import re
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from itertools import cycle

from tests.support.audit import audit
from tests.support.drilled import drilled, phones_of
from tests.support.fault_proxy import Fault, FaultProxy
from tests.support.scripted_phone import ScriptedPhone

TOKEN = re.compile(rb"phone=[^\r;]+")
ODD = ["-5", "315360000", "0", "Mon, 04 Mar 2002 08:00:00 GMT", "soon", "1e9", "30", "7, 8"]
SEED = 20300306
ROUNDS = 12
SPEED = 1500  # an hour of waiting takes 2.4 s here


class Outage(FaultProxy):
    """The first push of each phone is turned away with an odd time to wait."""

    def __init__(self, server_port: int) -> None:
        self._odd = cycle(ODD)
        self._turned_away: set[bytes] = set()
        super().__init__(server_port)

    def _faulty(self, request: bytes, fault: Fault) -> bytes:
        who = TOKEN.search(request).group()
        if who in self._turned_away:
            return super()._faulty(request, fault)
        self._turned_away.add(who)
        return super()._faulty(request, refusal(next(self._odd)))


def refusal(retry_after: str) -> Fault:
    head = "HTTP/1.1 503 Service Unavailable\r\nContent-Length: 0\r\nConnection: close\r\n"
    return Fault(answer=f"{head}Retry-After: {retry_after}\r\n\r\n".encode())


def back_until_settled(phone: ScriptedPhone, chance: random.Random) -> int:
    """Rounds it took, with the waits of a phone; more than ROUNDS when it never settled."""
    for taken in range(1, ROUNDS + 1):
        if phone.round() == "settled":
            return taken
        time.sleep(phone.wait_s(chance.random() * min(300, 2 * 2**taken)) / SPEED)
    return ROUNDS + 1


def test_a_storm_of_phones_with_odd_times_to_wait_drains(tmp_path, long_run, tally):
    count = 500 if long_run else 60
    with ExitStack() as keep:
        server = drilled(keep, "postgresql", tmp_path / "clinic", workers=2)
        phones = phones_of(server, count)
        server.start()
        proxy = keep.enter_context(Outage(server.port))
        for phone in phones:
            phone.url, phone.timeout_s = proxy.url, 60
            phone.save()
        chances = [random.Random(SEED + place) for place in range(count)]

        with ThreadPoolExecutor(count) as pool:
            rounds = list(pool.map(back_until_settled, phones, chances))

        seconds = sorted(second for phone in phones for second in phone.seconds)
        p95 = seconds[int(len(seconds) * 0.95)]
        turned_away = sum(phone.statuses.count(503) for phone in phones)
        result = audit(server, phones)
        tally(
            f"{count} phones at once, {len(seconds)} requests, p95 {p95:.2f} s, 503 "
            f"{turned_away} times, at most {max(rounds)} rounds; {result}"
        )
        assert turned_away >= count
        assert max(rounds) <= ROUNDS
        assert result.faults == {}
