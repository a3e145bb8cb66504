"""Phones that save and sync without a pause, a thread each, until told to stop."""

import random
import threading
import time
from collections.abc import Sequence
from contextlib import contextmanager

from tests.support.scripted_phone import ScriptedPhone

PATIENCE_S = 60


class Load:
    def __init__(self, phones: Sequence[ScriptedPhone], seed: int) -> None:
        self.phones = phones
        self.broken: list[BaseException] = []
        self._seed = seed
        self._over = threading.Event()

    @property
    def acknowledged(self) -> int:
        return sum(len(phone.acknowledged) for phone in self.phones)

    @contextmanager
    def running(self):
        threads = [
            threading.Thread(target=self._live, args=(phone, random.Random(self._seed + place)))
            for place, phone in enumerate(self.phones)
        ]
        for thread in threads:
            thread.start()
        try:
            yield self
        finally:
            self._over.set()
            for thread in threads:
                thread.join()
        assert self.broken == []

    def flows(self, more: int = 10) -> None:
        """Wait until so many entries more were acknowledged: the next blow meets traffic."""
        wanted, until = self.acknowledged + more, time.monotonic() + PATIENCE_S
        while self.acknowledged < wanted:
            assert time.monotonic() < until, f"nothing was acknowledged for {PATIENCE_S} s"
            time.sleep(0.01)

    def _live(self, phone: ScriptedPhone, chance: random.Random) -> None:
        try:
            while not self._over.is_set():
                for _ in range(chance.randint(1, 4)):
                    phone.save()
                if phone.round() != "settled":
                    self._over.wait(chance.uniform(0.02, 0.2))
        except Exception as error:  # noqa: BLE001  told where the load was started
            self.broken.append(error)
