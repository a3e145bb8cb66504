"""One worker of the clock in a process of its own, which a drill may kill at any moment.

What it hands over it writes to a file that outlives it: one line before, when it is
about to, and one after, as a mail server's log would show them.
"""

import os
import sys
import time
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

HANDING_OVER_S = 0.002


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
    import django

    django.setup()
    from clinician.services.reminders import reminders_tick
    from tests.support.reminding import SITE, routes_of

    now, routes = datetime.fromisoformat(moment), routes_of(email=Logged(Path(file)))
    while True:
        reminders_tick(routes=routes, site=SITE, clock=lambda: now)
        time.sleep(0.01)


if __name__ == "__main__":
    main(*sys.argv[1:])
