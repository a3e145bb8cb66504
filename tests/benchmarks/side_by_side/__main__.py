"""`python -m tests.benchmarks.side_by_side`: our sync beside a general-purpose offline database.

Both clients run under the same Node in this run, over the same counting link.
The other side keeps everything in memory at both ends; ours goes to gunicorn and a
PostgreSQL that flushes every commit. What is timed: from N entries on the phone
to all of them confirmed. Prints a table; asserts nothing about time.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

from tests.support import postgres
from tests.support.live import LiveServer
from tests.support.needs import node

HERE = Path(__file__).resolve().parent
RUNS = 3


def seed() -> dict:
    """A patient with a paired phone; what the phone has to know."""
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program

    now = timezone.now()
    clinician = make_clinician(make_clinic(now), "side@bench.example", now)
    patient = patient_add(by=clinician, name="Side Patient", now=now, zone="UTC")
    revision = make_program(patient, clinician, now)
    phone = PairedPhone(patient, clinician, now)
    return {
        "phone_id": str(phone.id),
        "token": phone.token,
        "episode_id": str(revision.program.episode_id),
        "revision_id": str(revision.id),
        "for_date": now.date().isoformat(),
    }


def _node(script: str, *arguments: object) -> dict:
    command = [node(), script, *map(str, arguments)]
    done = subprocess.run(command, cwd=HERE, capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(done.stderr[-2000:])
    return json.loads(done.stdout.splitlines()[-1])


def _ours(link: str, count: int) -> dict:
    with postgres.server(durable=True) as url, tempfile.TemporaryDirectory() as folder:
        server = LiveServer(Path(folder) / "clinic", DATABASE_URL=url)
        told = server.seed("seed", stories="tests.benchmarks.side_by_side")
        server.start()
        try:
            return _node("ours.mjs", link, count, server.url, json.dumps(told))
        finally:
            server.stop(kill=True)


def _shown(runs: list[dict]) -> str:
    middle = {key: median(run[key] for run in runs) for key in ("ms", "requests", "bytes")}
    return (
        f"{runs[0]['side']:<16} {runs[0]['link']:<20} {runs[0]['entries']:>5} entries "
        f"{middle['ms']:>9.0f} ms {middle['requests']:>6.0f} requests "
        f"{middle['bytes']:>10.0f} bytes"
    )


def main() -> None:
    if not (HERE / "node_modules").exists():
        subprocess.run(
            ["npm", "install", "--silent", "--no-audit", "--no-fund"], cwd=HERE, check=True
        )
    for link, count in (
        ("loopback", 1000),
        ("10 % loss", 1000),
        ("loopback", 3000),
        ("3G-like, 10 % loss", 3000),
    ):
        sides = (lambda: _ours(link, count)), (lambda: _node("pouch.mjs", link, count))  # noqa: B023
        for side in sides:
            print(_shown([side() for _ in range(RUNS)]), flush=True)


if __name__ == "__main__":
    if sys.argv[1:] == ["seed"]:
        import django

        django.setup()
        print(json.dumps(seed()))
    else:
        main()
