"""Settings of a later release whose clock runs ahead too."""

from tests.browser.next_release import *  # noqa: F403
from tests.browser.travelled import AHEAD

__all__ = ["AHEAD"]
