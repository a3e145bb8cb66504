"""A phone-sized Chromium with a profile that survives, and a server that can die."""

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from tests.browser.live_clinic import LiveClinic
from tests.support.live import LiveServer
from tests.support.needs import quick_chromium

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"width": 360, "height": 740}


# One driver a file, not one a run: while it lives, an event loop runs in this
# process, and Django refuses to touch the database beside one.
@pytest.fixture(scope="module")
def playwright():
    quick_chromium()  # skips, or fails in CI, where there is no browser
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        yield driver


@pytest.fixture(scope="module")
def _server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveServer]:
    live = LiveServer(tmp_path_factory.mktemp("server") / "clinic")
    yield live
    live.stop(kill=True)


@pytest.fixture
def server(_server: LiveServer) -> LiveServer:
    """One for a whole module, with a record of its own for each test that may stop or kill it."""
    _server.begin_anew()
    return _server


@pytest.fixture(scope="module")
def screens(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveServer]:
    """A server on which every screen and page has something to show; `told` says where."""
    live = LiveServer(tmp_path_factory.mktemp("screens") / "clinic")
    live.told = live.seed("clinic", stories="tests.support.screens")
    live.start()
    yield live
    live.stop(kill=True)


@pytest.fixture(scope="module")
def chromium_browser(playwright):
    """One for a whole module: a context of its own keeps each visitor apart."""
    browser = playwright.chromium.launch(executable_path=quick_chromium(), args=FLAGS)
    yield browser
    browser.close()


def _playwright_error() -> type[Exception]:
    from playwright.sync_api import Error

    return Error


class Browser:
    """A browser whose profile outlives it, like an app on a phone."""

    program = staticmethod(quick_chromium)

    def __init__(self, playwright, profile: Path, **options) -> None:
        self.playwright, self.profile, self.options = playwright, profile, options
        self.context = None

    def open(self):
        self.faults: list[str] = []
        self.context = self._begin()
        self.context.set_default_timeout(10_000)
        page = self.context.pages[0] if self.context.pages else self.context.new_page()
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("console", self._listen)
        return page

    def _begin(self):
        return self.playwright.chromium.launch_persistent_context(
            str(self.profile),
            executable_path=self.program(),
            args=FLAGS,
            headless=True,
            **self.options,
        )

    def _listen(self, message) -> None:
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.faults.append(message.text)

    def close(self) -> None:
        if self.context:
            self.context.close()
            self.context = None

    def kill(self) -> None:
        """SIGKILL every process of this profile, as a phone's system would."""
        for process in Path("/proc").glob("[0-9]*"):
            try:
                line = (process / "cmdline").read_bytes()
            except OSError:
                continue
            if str(self.profile).encode() in line:
                with suppress(ProcessLookupError):
                    os.kill(int(process.name), signal.SIGKILL)
        with suppress(_playwright_error()):
            self.context.close()
        self.context = None


class Visitor(Browser):
    """A visitor in the module's one browser: a profile of its own, and no start of its own."""

    def __init__(self, running, **options) -> None:
        self.running, self.options, self.context = running, options, None

    def _begin(self):
        return self.running.new_context(**self.options)


@pytest.fixture
def phone_browser(playwright, tmp_path: Path) -> Iterator[Browser]:
    browser = Browser(
        playwright, tmp_path / "phone", viewport=PHONE, has_touch=True, is_mobile=True,
        device_scale_factor=2,
    )  # fmt: skip
    yield browser
    browser.close()


@pytest.fixture
def desk_browser(chromium_browser) -> Iterator[Browser]:
    browser = Visitor(chromium_browser, viewport={"width": 1280, "height": 800})
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def live_clinic(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveClinic]:
    """One server a file, with a patient for each test that wants one."""
    clinic = LiveClinic(tmp_path_factory.mktemp("live") / "clinic")
    yield clinic
    clinic.server.stop(kill=True)


@pytest.fixture
def handset(chromium_browser, live_clinic: LiveClinic) -> Iterator[Callable]:
    """`handset(**options)` gives a paired phone in a profile of its own."""
    from tests.browser.handset import Handset

    contexts = []

    def paired(**options):
        context = chromium_browser.new_context(viewport=PHONE, has_touch=True, **options)
        contexts.append(context)
        return Handset(context, live_clinic, live_clinic.patient()).pair()

    yield paired
    for context in contexts:
        context.close()
