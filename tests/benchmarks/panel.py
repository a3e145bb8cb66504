"""`python -m tests.benchmarks.panel [--small]`: the panel at 40 and 500 patients, 30 and 365 days.

On PostgreSQL with fsync on. Beside the time on the wall stands this process's own
processor time, which a loaded machine disturbs less.
"""

import argparse
import os
import sys
import time
from collections.abc import Callable, Iterator
from statistics import median

from tests.benchmarks.__main__ import record
from tests.support import postgres

SIZES = ((40, 30), (40, 365), (500, 30), (500, 365))
SMALL = ((4, 30), (4, 365), (40, 30))
ADDRESSES = {"as it opens": "", "mine, by name": "?whose=mine&sort=name", "weeks": "?week=1-2"}


def measured(*, sizes: tuple, times: int = 15) -> Iterator[str]:
    from django.test import Client

    from tests.benchmarks.data import clinic_of
    from tests.benchmarks.measures import NOW, queries

    for patients, days in sizes:
        clinician = clinic_of(patients=patients, days=days, now=NOW)
        browser = Client()
        browser.force_login(clinician.user)
        for what, address in ADDRESSES.items():

            def page(address: str = address, browser: Client = browser) -> None:
                assert browser.get(f"/desk/{address}").status_code == 200

            wall, own = _both(page, times)
            yield (
                f"panel of {patients}, {days} days, {what:<14} median {median(wall):7.1f} ms  "
                f"processor {median(own):7.1f} ms  least {min(wall):7.1f} ms  "
                f"{queries(page)} queries"
            )


def _both(action: Callable[[], object], times: int) -> tuple[list[float], list[float]]:
    """Milliseconds on the wall and of this process, the first two runs left out."""
    wall, own = [], []
    for _ in range(times + 2):
        began, spent = time.perf_counter(), time.process_time()
        action()
        wall.append(1000 * (time.perf_counter() - began))
        own.append(1000 * (time.process_time() - spent))
    return wall[2:], own[2:]


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.panel")
    parser.add_argument("--small", action="store_true", help="a tenth of the size")
    options = parser.parse_args()
    if not postgres.available():
        sys.exit("The benchmarks need PostgreSQL (apt-get install postgresql).")
    with postgres.server(durable=True) as url, record(url):
        for line in measured(sizes=SMALL if options.small else SIZES):
            print(line, flush=True)
        print(f"load of this machine: {', '.join(f'{one:.1f}' for one in os.getloadavg())}")


if __name__ == "__main__":
    main()
