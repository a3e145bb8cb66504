"""Workers of the clock, each a process of its own, which a drill may kill at any moment.

What they hand over they write to a file that outlives them: one line before, when they
are about to, and one after, as a mail server's log would show them. They are forked from
one process that has everything imported and no connection: a new one is at work at once.
"""

import os
import signal
import sys
import time
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

HANDING_OVER_S = 0.002
CHUNK = 5  # so that several are at work at a time


@dataclass
class Logged:
    """A channel whose other end is a file."""

    file: Path

    def send(self, *, to, message_id, until, now):
        from clinician.services.channels.outcome import Outcome

        self._say("begin", message_id)
        time.sleep(HANDING_OVER_S)
        self._say("sent", message_id)
        return Outcome.sent()

    def settle(self, *, to, outcome, now) -> None:
        """Nothing to forget."""

    def _say(self, what: str, message_id) -> None:
        line = os.open(self.file, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        os.write(line, f"{what} {message_id} {os.getpid()}\n".encode())
        os.close(line)


def main(file: str, moment: str) -> None:
    """A worker for every line that comes in; its process id goes out."""
    import django

    django.setup()
    from clinician.services.reminders import reminders_tick
    from tests.support.reminding import SITE, routes_of

    now, routes = datetime.fromisoformat(moment), routes_of(email=Logged(Path(file)))
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for the killed
    for _ in sys.stdin:
        child = os.fork()
        while not child:
            reminders_tick(routes=routes, site=SITE, clock=lambda: now, chunk=CHUNK)
            time.sleep(0.01)
        print(child, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
