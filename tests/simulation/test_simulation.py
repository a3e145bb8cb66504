"""Worlds drawn from seeds keep their promises, and broken designs are found out."""

import json
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from tests.simulation.found import FOUND, ONCE_BROKEN
from tests.simulation.mutants import broken_text
from tests.simulation.mutants_all import MUTANTS
from tests.simulation.node import SHIPPED
from tests.support.needs import need, node

pytestmark = pytest.mark.node
ROOT = Path(__file__).resolve().parent.parent.parent
# With the thirty worlds of the last test below, over a minute of what is shipped.
SHARES, SECONDS, LONG_SECONDS = 2, 14, 1_200
THROWN_AWAY_SECONDS = 8
PER_SHARE = 1_000_000  # seeds; no share comes to its end in the time it has


def simulation(*arguments: str) -> subprocess.CompletedProcess:
    """In a process of its own: it owns the clock, the chance and the database there."""
    node()
    packages = ROOT / "tests" / "js" / "node_modules"
    if not packages.exists():
        subprocess.run(["npm", "install", "--silent"], cwd=packages.parent, check=False)
    need(packages.exists(), "fake-indexeddb (npm install in tests/js)")
    return subprocess.run(
        [sys.executable, "-m", "tests.simulation", *arguments],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip


@pytest.mark.parametrize("share", range(SHARES))
def test_nothing_is_lost_doubled_or_stuck_in_any_world(share, long_run):
    first = share * PER_SHARE + 1
    run = simulation(
        "--seeds", f"{first}-{first + PER_SHARE - 1}",
        "--budget", str(LONG_SECONDS if long_run else SECONDS),
    )  # fmt: skip

    print(run.stdout)
    assert run.returncode == 0, run.stdout[-3_000:] + run.stderr[-3_000:]


def test_a_browser_that_throws_its_database_away_loses_nothing_unconfirmed(long_run):
    budget = LONG_SECONDS if long_run else THROWN_AWAY_SECONDS
    run = simulation("--focus", "thrown_away", "--budget", str(budget))

    print(run.stdout)
    assert run.returncode == 0, run.stdout[-3_000:] + run.stderr[-3_000:]
    assert "'databases thrown away'" in run.stdout


def test_worlds_that_once_broke_stay_whole():
    run = simulation("--these", *map(str, ONCE_BROKEN))

    assert run.returncode == 0, run.stdout[-3_000:] + run.stderr[-3_000:]


def test_a_seed_tells_the_same_story_twice():
    stories = [simulation("--replay", "3").stdout for _ in range(2)]

    assert stories[0] == stories[1]
    assert stories[0].count("\n") > 50


# Shown by the first or second world that was looked at; the others take --long.
SOON = [name for name, seeds in FOUND.items() if min(seeds) <= 2]
LATER = [name for name in FOUND if name not in SOON]


@cache
def hunted(names: tuple[str, ...]) -> dict[str, dict]:
    """What was found of each broken design, all in one process."""
    run = simulation("--mutants", *names, "--recorded", "--search", "2", "--json")
    assert run.stdout, run.stderr[-3_000:]
    return {one["name"]: one for one in map(json.loads, run.stdout.splitlines())}


def unseen(names: list[str]) -> list[str]:
    seen = hunted(tuple(names))
    return [name for name in names if not seen[name]["seen"]]


@pytest.mark.parametrize("name", SOON)
def test_a_broken_design_is_found_out(name):
    assert hunted(tuple(SOON))[name]["seen"], f"no world of {FOUND[name]} and few more shows it"


def test_designs_that_break_seldom_are_found_out_too(long_run):
    assert unseen(LATER if long_run else LATER[:1]) == []


def test_two_dozen_broken_designs_are_found_out_in_every_run():
    assert len(SOON) >= 24


def test_every_broken_design_still_has_its_place_in_the_shipped_text():
    for mutant in MUTANTS:
        path = (SHIPPED if mutant.on_phone else ROOT) / mutant.file
        assert broken_text(mutant, path.read_text(encoding="utf-8"))


def test_the_worlds_that_show_broken_designs_are_whole_without_them():
    """Else the finds above would say nothing."""
    run = simulation("--mutants", *SOON, "--whole")

    assert run.returncode == 0, run.stdout[-3_000:] + run.stderr[-3_000:]
