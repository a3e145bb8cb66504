"""A browser killed at any moment loses, doubles and falsely confirms nothing."""

from pathlib import Path

import pytest

from tests.browser.hammer import Hammer, hammer
from tests.browser.handset import SAVED
from tests.browser.live_clinic import LiveClinic

pytestmark = pytest.mark.browser

KILLS, MANY_KILLS = 27, 2000


@pytest.fixture
def hit(playwright, tmp_path: Path):
    clinic = LiveClinic(tmp_path / "clinic", "patient")
    yield Hammer(playwright, clinic, tmp_path / "phone")
    clinic.server.stop(kill=True)


def test_no_kill_loses_doubles_or_falsely_confirms_an_entry(hit, long_run):
    kills = MANY_KILLS if long_run else KILLS

    tally = hammer(hit, kills)

    print(tally)  # for whoever asks how many, with -s
    assert (tally.lost, tally.doubled, tally.cleared, tally.faults) == (0, 0, False, [])
    assert tally.kills == kills
    assert tally.shown > 2 * kills, "too few saves for the kills to mean anything"
    assert tally.answers_never_heard > 0, "no kill came in the middle of a sync"


def test_the_hammer_would_find_an_app_that_says_saved_too_early(hit):
    """The control: told before it is stored, an entry is lost with the kill."""
    hit.pair()
    for _ in range(4):
        hit.kill(sync=False, early=SAVED)

    assert hit.drain().lost > 0
