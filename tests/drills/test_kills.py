"""kill -9 of workers, of gunicorn and of the whole database, again and again, under load."""

import os
import random
import signal
import time
from collections import Counter
from contextlib import ExitStack

import pytest

from tests.support.audit import audit
from tests.support.cluster import children
from tests.support.drilled import DrilledServer, drilled, phones_of, settle
from tests.support.load import Load

SEED = 20300304
PHONES = 5
BLOWS = {
    "postgresql": ["worker", "database"] * 4 + ["master", "server"],
    "sqlite": ["worker"] * 2 + ["master", "server"],
}
KILLS = {"postgresql": 10, "sqlite": 4}  # each blow at least once
KILLS_LONG = {"postgresql": 400, "sqlite": 150}


def blow(server: DrilledServer, what: str, chance: random.Random) -> None:
    """One SIGKILL, and what a service manager would do about it."""
    if what == "worker":
        # gunicorn itself starts another.
        if workers := children(server.process.pid):
            os.kill(chance.choice(workers), signal.SIGKILL)
    elif what == "database":
        server.cluster.kill()
        time.sleep(chance.uniform(0, 0.3))
        server.cluster.start()
    elif what == "master":
        # Its workers go on until they notice.
        os.kill(server.process.pid, signal.SIGKILL)
        server.process.wait(timeout=20)
        server.start()
    else:
        server.stop(kill=True)
        server.start()


@pytest.mark.parametrize("database", ["postgresql", "sqlite"])
def test_what_was_acknowledged_outlives_every_kill(database, tmp_path, long_run, tally):
    chance, kills = random.Random(SEED), Counter()
    blows = [BLOWS[database][n % len(BLOWS[database])] for n in range(KILLS[database])]
    if long_run:
        blows = [chance.choice(BLOWS[database]) for _ in range(KILLS_LONG[database])]
    chance.shuffle(blows)
    with ExitStack() as keep:
        server = drilled(keep, database, tmp_path / "clinic", workers=2)
        phones = phones_of(server, PHONES)
        server.start()
        with Load(phones, SEED).running() as load:
            for what in blows:
                load.flows()
                time.sleep(chance.uniform(0, 0.15))
                blow(server, what, chance)
                kills[what] += 1
            load.flows()
        states = settle(phones)

        result = audit(server, phones)
        tally(f"kills {kills.total()} {dict(kills)}; {result}")
        assert states == ["settled"] * PHONES
        assert result.faults == {}
        assert result.acknowledged == result.saved > 10 * len(blows)
        assert "agree" in server.manage("rebuild", "--check")
