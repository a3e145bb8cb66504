"""`python -m tests.benchmarks.lighthouse`: the patient's first load, as Lighthouse sees it.

Its own mobile throttle (150 ms, 1.6 Mbit/s, CPU 4x), a new browser for each run,
our server with hashed and compressed files; where nginx is installed, behind it,
with TLS and HTTP/2 as a clinic serves it. Prints medians beside the goals and what
Lighthouse names; asserts nothing about time.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

from tests.benchmarks.lighthouse.proxy import available, proxy
from tests.support.live import LiveServer
from tests.support.needs import chromium, node

HERE = Path(__file__).resolve().parent
CATEGORIES = ("performance", "accessibility", "best-practices")
# What is measured, where Lighthouse keeps it, its unit, and whether more is better.
GOALS = (
    *((name, 95 if name == "performance" else 100, "", True) for name in CATEGORIES),
    ("largest-contentful-paint", 1500, "ms", False),
    ("total-blocking-time", 100, "ms", False),
    ("cumulative-layout-shift", 0.02, "", False),
)


def _run(url: str) -> dict:
    command = [
        node(),
        "node_modules/lighthouse/cli/index.js",
        f"{url}/p/",
        "--output=json",
        "--quiet",
        f"--only-categories={','.join(CATEGORIES)}",
        "--chrome-flags=--headless=new --no-sandbox --disable-gpu --ignore-certificate-errors",
    ]
    environment = os.environ | {"CHROME_PATH": chromium()}
    done = subprocess.run(
        command, cwd=HERE, env=environment, capture_output=True, text=True, check=False
    )
    if done.returncode:
        sys.exit(done.stderr[-2000:])
    return json.loads(done.stdout)


def _figure(report: dict, name: str) -> float:
    if name in CATEGORIES:
        return 100 * report["categories"][name]["score"]
    return report["audits"][name]["numericValue"]


def _named(reports: list[dict]) -> dict[str, str]:
    """Audits that count in a score and were not passed in every run."""
    found = {}
    for report in reports:
        for category in report["categories"].values():
            for one in category["auditRefs"]:
                audit = report["audits"][one["id"]]
                if one["weight"] and audit["score"] is not None and audit["score"] < 0.9:
                    found[audit["id"]] = audit["title"]
    return found


def _print(how: str, reports: list[dict]) -> None:
    load = os.getloadavg()[0]
    print(f"\n{how}: Lighthouse {reports[0]['lighthouseVersion']}, load {load:.1f}")
    for name, goal, unit, more in GOALS:
        figures = sorted(_figure(report, name) for report in reports)
        middle = median(figures)
        kept = middle >= goal if more else middle <= goal
        print(
            f"{name:<26} median {middle:8.2f} {unit:<2} ({figures[0]:.2f} to {figures[-1]:.2f})"
            f"  goal {'>=' if more else '<='} {goal} {unit:<2} {'kept' if kept else 'MISSED'}"
        )
    for name, title in _named(reports).items():
        print(f"  named: {name}: {title}", flush=True)


def measure(*, runs: int) -> None:
    """Both ways of serving, printed."""
    if not (HERE / "node_modules").exists():
        install = ["npm", "install", "--silent", "--no-audit", "--no-fund"]
        subprocess.run(install, cwd=HERE, check=True)
    with tempfile.TemporaryDirectory() as folder:
        server = LiveServer(Path(folder) / "clinic")
        server.start()
        try:
            _print("HTTP/1.1, the bare server", [_run(server.url) for _ in range(runs)])
            if available():
                with proxy(server.url, Path(folder) / "proxy") as url:
                    _print("HTTP/2, behind a proxy", [_run(url) for _ in range(runs)])
        finally:
            server.stop(kill=True)
