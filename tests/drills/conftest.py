"""Drills say what they counted, at the end of the run."""

from collections.abc import Callable

import pytest


@pytest.fixture
def tally(record_property) -> Callable[[str], None]:
    """`tally(text)` is printed once the run is over."""
    return lambda text: record_property("tally", text)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    counted = [
        f"{report.nodeid.rpartition('::')[2]}: {text}"
        for outcome in ("passed", "failed")
        for report in terminalreporter.getreports(outcome)
        for name, text in report.user_properties
        if name == "tally" and report.when == "call"
    ]
    if counted:
        terminalreporter.section("counted by the drills")
        for line in counted:
            terminalreporter.write_line(line)
