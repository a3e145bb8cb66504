"""`python -m tests.benchmarks.phone [--small]`: the budgets of the patient's phone.

Weight of the first load; cold start without a server and tap save -> kept and
shown, both with the processor four times slower; and the same on a phone with
1,500 bouts beside one with 10, turn by turn. Prints medians and 95th percentiles
beside the goals; asserts nothing about time.
"""

import argparse
import os
import tempfile
from pathlib import Path
from statistics import median

from playwright.sync_api import sync_playwright

from tests.benchmarks.phone.handheld import SLOWER, Handheld
from tests.benchmarks.phone.weight import weigh
from tests.browser.conftest import FLAGS
from tests.browser.live_clinic import LiveClinic
from tests.support.needs import chromium

FEW, MANY = 10, 1500


def _line(what: str, taken: list[float], goal: str) -> str:
    taken = sorted(taken)
    p95 = taken[round(0.95 * (len(taken) - 1))]
    return f"{what:<44} median {median(taken):7.1f} ms  p95 {p95:7.1f} ms  goal {goal}"


def _load() -> str:
    return f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.phone")
    parser.add_argument("--small", action="store_true", help="a tenth of the bouts and turns")
    small = parser.parse_args().small
    many, starts, saves = (MANY // 10, 3, 5) if small else (MANY, 10, 50)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        clinic = LiveClinic(Path(folder) / "clinic")
        try:
            _weight(playwright, clinic)
            phones = [
                Handheld(playwright, clinic, Path(folder) / f"phone-{bouts}", bouts=bouts)
                for bouts in (FEW, many)
            ]
            for phone in phones:
                print(f"a phone with {phone.bouts} bouts holds {phone.fill()} entries", flush=True)
            clinic.server.stop()
            _times(phones, starts, saves)
        finally:
            clinic.server.stop(kill=True)


def _weight(playwright, clinic: LiveClinic) -> None:
    browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
    for what, bytes_of in weigh(browser, clinic).items():
        sizes = "  ".join(f"{coding} {size / 1000:6.1f} kB" for coding, size in bytes_of.items())
        goal = {"first": "<= 100 kB", "script": "<= 50 kB"}.get(
            what.split(",")[0].split()[0], "none"
        )
        print(f"{what:<44} {sizes}  goal {goal}", flush=True)
    browser.close()


def _times(phones: list[Handheld], starts: int, saves: int) -> None:
    few, many = phones
    began: dict[int, list[float]] = {few.bouts: [], many.bouts: []}
    for _ in range(starts):
        for phone in phones:
            began[phone.bouts].append(phone.start())
    print(f"without a server, CPU {SLOWER}x slower, {_load()}")
    for bouts, taken in began.items():
        print(_line(f"cold start with {bouts} bouts", taken, "<= 1000 ms"), flush=True)
    ratio = median(began[many.bouts]) / median(began[few.bouts])
    print(f"{'  ratio of the medians':<44} {ratio:.2f}  goal <= 1.20", flush=True)
    for phone in phones:
        taken = phone.save(saves)
        print(_line(f"save with {phone.bouts} bouts, {_load()}", taken, "p95 <= 50 ms"), flush=True)
        phone.browser.close()


if __name__ == "__main__":
    main()
