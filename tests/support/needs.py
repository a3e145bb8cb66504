"""Optional parts of this machine. A stranger's missing part skips; in CI it fails."""

import os
import shutil

import pytest

REQUIRED = os.environ.get("CI") == "true"


def need(present: object, what: str) -> None:
    """Skip the test where `what` is not installed, unless every part is required."""
    if present:
        return
    if REQUIRED:
        pytest.fail(f"{what} is required here and was not found.")
    pytest.skip(f"{what} is not installed.")


def chromium() -> str:
    path = shutil.which("chromium") or shutil.which("google-chrome")
    need(path, "Chromium")
    return path or ""


def quick_chromium() -> str:
    """The same engine without a window around it, where there is one: starts four times as fast."""
    return shutil.which("chromium-headless-shell") or chromium()


def node() -> str:
    path = shutil.which("node")
    need(path, "Node")
    return path or ""
