"""`manage.py demo --json` as a script would start it, on a machine whose port is taken."""

import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator
from http.cookiejar import CookieJar
from pathlib import Path

import pytest

from project.demo_folder import demo_folder

pytestmark = pytest.mark.skipif(
    "DATABASE_URL" in os.environ, reason="the demo is embedded whatever the database"
)
ROOT = Path(__file__).resolve().parents[2]
REAL = "a real clinic's record"


class RunningDemo:
    """The command as a process of its own, below a folder of its own."""

    def __init__(self, var: Path, port: int) -> None:
        self.var, self.port = var, port
        self.errors = (var / "stderr.log").open("w+")
        real = {"BOUTWISE_VAR": str(var), "DATABASE_URL": "postgresql://nobody@nowhere/real"}
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", "demo", "--json", "--port", str(port)],
            cwd=ROOT,
            env=os.environ | real | {"BOUTWISE_MODE": "production"},
            stdout=subprocess.PIPE,
            stderr=self.errors,
            text=True,
        )
        self.first_line = self.process.stdout.readline()
        assert self.first_line, self.told()
        self.facts = json.loads(self.first_line)

    def told(self) -> str:
        self.errors.flush()
        return (self.var / "stderr.log").read_text()

    def end(self) -> tuple[int, str]:
        """Ctrl-C; the exit code, and what stdout said after its first line."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        rest = self.process.stdout.read()
        code = self.process.wait(timeout=20)
        self.process.stdout.close()
        self.errors.close()
        return code, rest


class Visitor:
    """A browser without a window: keeps cookies, follows redirects."""

    def __init__(self) -> None:
        cookies = urllib.request.HTTPCookieProcessor(CookieJar())
        self._opener = urllib.request.build_opener(cookies)

    def get(self, url: str) -> tuple[str, str]:
        """The address it ended at, and the page."""
        with self._opener.open(url, timeout=20) as answer:
            return answer.url, answer.read().decode()

    def post(self, url: str, body: bytes, **headers: str) -> tuple[str, str]:
        request = urllib.request.Request(url, body, headers)
        with self._opener.open(request, timeout=20) as answer:
            return answer.url, answer.read().decode()


@pytest.fixture(scope="module")
def demo(tmp_path_factory) -> Iterator[RunningDemo]:
    var = tmp_path_factory.mktemp("var")
    (var / "boutwise.sqlite3").write_text(REAL)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        running = RunningDemo(var, taken.getsockname()[1])
        yield running
        # Ctrl-C ends it cleanly: said here, because it can be ended only once.
        code, rest = running.end()
    assert (code, rest) == (0, "")
    assert "Traceback" not in (var / "stderr.log").read_text()
    with pytest.raises(urllib.error.URLError):
        Visitor().get(f"{running.facts['url']}/healthz")


def test_the_first_line_is_the_promised_object(demo):
    assert set(demo.facts) == {"url", "login_url", "clinician", "patients"}
    assert set(demo.facts["clinician"]) == {"login", "password"}
    assert len(demo.facts["patients"]) == 16
    for patient in demo.facts["patients"]:
        assert set(patient) == {"label", "pairing_code"}
        assert re.fullmatch("[B-Z]{5}-[B-Z]{5}", patient["pairing_code"])


def test_a_taken_port_is_left_and_told(demo):
    port = urllib.parse.urlsplit(demo.facts["url"]).port
    assert port > demo.port
    assert f"Port {demo.port} is taken; using {port}." in demo.told()


def test_serves_the_phone_from_hashed_files(demo):
    _, page = Visitor().get(f"{demo.facts['url']}/p/")
    [script] = re.findall(r'<script type="module" src="([^"]+)"', page)
    assert re.search(r"\.[0-9a-f]{12}\.js$", script)
    assert Visitor().get(demo.facts["url"] + script)[1]


def test_the_printed_password_signs_in(demo):
    visitor = Visitor()
    _, page = visitor.get(demo.facts["login_url"])
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page).group(1)
    form = demo.facts["clinician"] | {"csrfmiddlewaretoken": token}
    ended_at, panel = visitor.post(demo.facts["login_url"], urllib.parse.urlencode(form).encode())
    assert ended_at == f"{demo.facts['url']}/desk/"
    assert "Mara Holt" in panel


def test_a_code_pairs_any_number_of_phones_at_once(demo):
    body = {"code": demo.facts["patients"][0]["pairing_code"], "phone_label": "test"}
    for _ in range(25):  # more than a real address may try in an hour
        _, answer = Visitor().post(
            f"{demo.facts['url']}/api/v1/pairing/",
            json.dumps(body).encode(),
            **{"Content-Type": "application/json", "X-Boutwise": "1"},
        )
        assert json.loads(answer)["state"] == "active"


def test_a_real_clinic_is_not_touched(demo):
    assert (demo.var / "boutwise.sqlite3").read_text() == REAL
    assert (demo.var / "demo" / "demo.sqlite3").exists()


def test_a_second_demo_takes_a_folder_of_its_own(demo):
    assert demo_folder(demo.var) == demo.var / "demo-2"


def test_clocks_may_run_beside_each_other_and_end_when_told(demo):
    environment = os.environ | {"BOUTWISE_MODE": "demo", "BOUTWISE_VAR": str(demo.var / "demo")}
    clocks = [
        subprocess.Popen(
            [sys.executable, "manage.py", "clock", "--loop", "--every", "1"],
            cwd=ROOT,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        for _ in range(2)
    ]
    for clock in clocks:
        rounds = [clock.stdout.readline() for _ in range(2)]
        clock.terminate()
        clock.communicate(timeout=20)
        assert rounds[0].startswith("Evaluated ")
        assert all(one.endswith(" 0 failed.\n") for one in rounds)
        assert clock.returncode == 0
