"""Three engines behind the same few acts, so that one walk serves them all.

`goto`, `run` a script, `press` a point, `type`, `kill`. Firefox and Chromium are
driven by puppeteer over a bridge of JSON lines; WebKitGTK speaks WebDriver, which
is plain HTTP. Their profiles outlive them, as a phone's does.
"""

import json
import os
import shutil
import signal
import subprocess
import time
import urllib.error
import urllib.request
from contextlib import suppress
from pathlib import Path

from tests.support.live import free_port
from tests.support.needs import need, node

HERE = Path(__file__).resolve().parent
SETTLE_S = 60


def _end(group: int | None) -> None:
    if group:
        with suppress(ProcessLookupError):
            os.killpg(group, signal.SIGKILL)


class Bridged:
    """Firefox over WebDriver BiDi, Chromium over its own protocol."""

    def __init__(self, profile: Path, *, browser: str, program: str) -> None:
        self.profile, self.browser, self.program = profile, browser, shutil.which(program)
        need(self.program, program)
        self.node = node()
        if not (HERE / "node_modules").exists():
            install = ["npm", "install", "--silent", "--no-audit", "--no-fund"]
            subprocess.run(install, cwd=HERE, check=True)
        self.process: subprocess.Popen | None = None
        self.group: int | None = None

    def start(self) -> str:
        self.profile.mkdir(exist_ok=True)
        self.process = subprocess.Popen(
            [self.node, "bridge.mjs", self.browser, self.program, str(self.profile)],
            cwd=HERE,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        version = self._heard()
        self.group = self._ask("pid")
        return version

    def goto(self, url: str) -> None:
        self._ask("goto", url)

    def run(self, script: str) -> object:
        return self._ask("run", script)

    def press(self, x: float, y: float) -> None:
        self._ask("press", x, y)

    def type(self, text: str) -> None:
        self._ask("type", text)

    def close(self) -> None:
        """As its own menu would: what it still has to write is written."""
        if self.process:
            with suppress(RuntimeError):
                self._ask("close")
        self.kill()

    def kill(self) -> None:
        _end(self.group)
        if self.process:
            self.process.kill()
            self.process.communicate()
        self.process = self.group = None

    def _ask(self, act: str, *given: object) -> object:
        self.process.stdin.write(json.dumps([act, *given]) + "\n")
        self.process.stdin.flush()
        return self._heard()

    def _heard(self) -> object:
        said = json.loads(self.process.stdout.readline() or '{"error": "the bridge is gone"}')
        if "error" in said:
            raise RuntimeError(said["error"])
        return said["ok"]


class WebKit:
    """WebKitGTK in a window of its own on a screen that nobody sees."""

    def __init__(self, profile: Path) -> None:
        self.profile = profile
        for program in ("WebKitWebDriver", "Xvfb"):
            need(shutil.which(program), program)
        need(_bindings(), "gir1.2-webkit2-4.1")
        self.screen = self.driver = None

    def start(self) -> str:
        self.profile.mkdir(exist_ok=True)
        reading, writing = os.pipe()
        self.screen = subprocess.Popen(
            ["Xvfb", "-displayfd", str(writing), "-screen", "0", "400x800x24"],
            pass_fds=[writing],
            stderr=subprocess.DEVNULL,
        )
        os.close(writing)
        with os.fdopen(reading) as told:
            display = f":{told.readline().strip()}"
        port = free_port()
        self.base = f"http://127.0.0.1:{port}"
        # Root has no sandbox to be put into.
        environment = os.environ | {
            "DISPLAY": display,
            "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1",
        }
        self.driver = subprocess.Popen(
            ["WebKitWebDriver", f"--port={port}"], env=environment, start_new_session=True,
            stderr=subprocess.DEVNULL,
        )  # fmt: skip
        options = {"binary": str(HERE / "webkit_browser.py"), "args": [str(self.profile)]}
        wanted = {"alwaysMatch": {"webkitgtk:browserOptions": options}}
        told = self._until_up("/session", {"capabilities": wanted})
        self.base += f"/session/{told['sessionId']}"
        self._ask("/timeouts", {"script": 1000 * SETTLE_S, "pageLoad": 1000 * SETTLE_S})
        return str(self.run("return navigator.userAgent"))

    def goto(self, url: str) -> None:
        self._ask("/url", {"url": url})

    def run(self, script: str) -> object:
        # One callback argument is what makes a script of WebDriver's asynchronous.
        body = (
            "const done = arguments[0];"
            f"(async () => {{ {script} }})().then((ok) => done({{ ok: ok ?? null }}),"
            " (error) => done({ error: String(error) }));"
        )
        said = self._ask("/execute/async", {"script": body, "args": []})
        if "error" in said:
            raise RuntimeError(said["error"])
        return said["ok"]

    def press(self, x: float, y: float) -> None:
        steps = [
            {"type": "pointerMove", "duration": 0, "x": round(x), "y": round(y)},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerUp", "button": 0},
        ]
        self._act({"type": "pointer", "id": "hand", "actions": steps})

    def type(self, text: str) -> None:
        keys = [{"type": kind, "value": key} for key in text for kind in ("keyDown", "keyUp")]
        self._act({"type": "key", "id": "keys", "actions": keys})

    def close(self) -> None:
        if self.driver:
            with suppress(RuntimeError):
                self._ask("", method="DELETE")
        self.kill()

    def kill(self) -> None:
        """The driver's whole group: browser, network and web processes are its children."""
        for process in (self.driver, self.screen):
            if process:
                _end(process.pid) if process is self.driver else process.kill()
                process.wait()
        self.screen = self.driver = None

    def _act(self, source: dict) -> None:
        self._ask("/actions", {"actions": [source]})

    def _until_up(self, path: str, body: dict) -> dict:
        for _ in range(100):
            with suppress(urllib.error.URLError):
                return self._ask(path, body)
            time.sleep(0.1)
        raise AssertionError("WebKitWebDriver did not start")

    def _ask(self, path: str, body: dict | None = None, *, method: str = "POST") -> dict:
        request = urllib.request.Request(
            self.base + path,
            method=method,
            data=json.dumps(body).encode() if body is not None else None,
            headers={"Content-Type": "application/json"},
        )
        try:
            with urllib.request.urlopen(request, timeout=SETTLE_S) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as refused:
            raise RuntimeError(refused.read().decode()) from refused


def _bindings() -> bool:
    """Whether the system's Python has what our WebKit window is written with."""
    asked = "import gi; gi.require_version('WebKit2', '4.1')"
    done = subprocess.run(["/usr/bin/python3", "-c", asked], capture_output=True, check=False)
    return done.returncode == 0


ENGINES = {
    "firefox": lambda profile: Bridged(profile, browser="firefox", program="firefox-esr"),
    "webkit": WebKit,
    "chromium": lambda profile: Bridged(profile, browser="chrome", program="chromium"),
}
