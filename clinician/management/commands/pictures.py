"""`manage.py pictures`: takes the README's pictures from a demo that it starts itself."""

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

ROOT = Path(__file__).resolve().parents[3]
FOLDER = ROOT / "fixtures" / "pictures"
MOST_BYTES = 120_000
PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 800}
DESK_SCALE = 0.75  # a README shows it small anyway
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
PATIENT = "Mara Holt"  # the demo's steady one, with a bout due today
AFTERNOON = 14
HOUR_S = 3600


class Command(BaseCommand):
    help = "Takes the README's pictures from a running demo. Needs Chromium and the dev extra."
    requires_system_checks: list = []

    def handle(self, *args: object, **options: object) -> None:
        FOLDER.mkdir(parents=True, exist_ok=True)
        with _demo() as facts, _browser() as browser:
            self._keep("phone-next-bout", _next_bout(browser, facts))
            self._keep("desk-panel", _panel(browser, facts))

    def _keep(self, name: str, picture: bytes) -> None:
        if len(picture) > MOST_BYTES:
            raise CommandError(f"{name} has {len(picture)} bytes; at most {MOST_BYTES}.")
        (FOLDER / f"{name}.png").write_bytes(picture)
        self.stdout.write(f"{name}.png: {len(picture)} bytes")


@contextmanager
def _demo() -> Iterator[dict]:
    """A demo in a folder of its own; what the first line of its stdout says."""
    command = [sys.executable, "manage.py", "demo", "--json"]
    with tempfile.TemporaryDirectory(prefix="boutwise-pictures-") as folder:
        process = subprocess.Popen(  # noqa: S603  our own command
            command,
            cwd=ROOT,
            env=os.environ | {"BOUTWISE_VAR": folder},
            stdout=subprocess.PIPE,
            text=True,
        )
        try:
            yield _first_line(process)
        finally:
            process.send_signal(signal.SIGINT)
            process.communicate(timeout=30)


def _first_line(process: subprocess.Popen) -> dict:
    line = process.stdout.readline()
    if not line:
        raise CommandError("The demo did not start; see above.")
    return json.loads(line)


@contextmanager
def _browser() -> Iterator[object]:
    from playwright.sync_api import sync_playwright  # noqa: PLC0415  of the dev extra

    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    if not chromium:
        raise CommandError("Chromium is not installed.")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=FLAGS)
        yield browser
        browser.close()


def _next_bout(browser: object, facts: dict) -> bytes:
    """A phone paired as the patient, on its first screen."""
    codes = {one["label"].split(":")[0]: one["pairing_code"] for one in facts["patients"]}
    page = browser.new_page(viewport=PHONE, timezone_id=_afternoon(datetime.now(tz=UTC)))
    page.goto(f"{facts['url']}/p/")
    page.get_by_label("Code").fill(codes[PATIENT])
    page.get_by_role("button", name="Pair now").click()
    page.get_by_text("Start bout 1").wait_for()
    page.get_by_text("All your entries are at the clinic.").first.wait_for()
    return page.screenshot()


def _panel(browser: object, facts: dict) -> bytes:
    """The desk's panel as the lead sees it after signing in."""
    page = browser.new_page(viewport=DESK, device_scale_factor=DESK_SCALE)
    page.goto(facts["login_url"])
    for name, value in facts["clinician"].items():
        page.locator(f"input[name={name}]").fill(value)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", name="Panel").wait_for()
    page.mouse.move(0, DESK["height"] - 1)
    return page.screenshot()


def _afternoon(now: datetime) -> str:
    """A zone in which this machine's today is past noon: the morning check is over by then."""
    here = now.astimezone().replace(tzinfo=None)
    east = (here.replace(hour=AFTERNOON) - now.replace(tzinfo=None)).total_seconds() / HOUR_S
    return f"Etc/GMT{-max(-12, min(14, round(east))):+d}"
