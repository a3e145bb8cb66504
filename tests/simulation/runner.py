"""Runs worlds one after another and counts what happened in them."""

import json
import os
import shutil
import time
import traceback
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from tests.simulation import clinic
from tests.simulation.mutants import Mutant, phone_core, server_code
from tests.simulation.node import Node
from tests.simulation.oracle import Violation
from tests.simulation.world import Lab, World


@dataclass
class Tally:
    """What a run of worlds came to."""

    seeds: int = 0
    seconds: float = 0.0
    counts: Counter = field(default_factory=Counter)
    faults: Counter = field(default_factory=Counter)
    broken: list[tuple[int, str]] = field(default_factory=list)

    def add(self, other: "Tally") -> None:
        self.seeds += other.seeds
        self.seconds = max(self.seconds, other.seconds)
        self.counts += other.counts
        self.faults += other.faults
        self.broken += other.broken

    def as_json(self) -> str:
        return json.dumps(self.__dict__)

    @classmethod
    def from_json(cls, text: str) -> "Tally":
        said = json.loads(text)
        counters = {name: Counter(said[name]) for name in ("counts", "faults")}
        return cls(**said | counters)

    def report(self) -> str:
        entries, speed = self.counts["entries"], self.seeds / max(self.seconds, 0.001)
        lines = [
            f"{self.seeds} worlds in {self.seconds:.0f} s, {speed:.2f} a second",
            f"{entries} entries shown as saved, {self.counts['requests']} requests",
            f"{self.faults.total()} faults: {dict(self.faults.most_common())}",
            f"beside: {dict(self.counts.most_common())}",
        ]
        if self.broken:
            lines += [f"BROKEN seed {seed}: {what}" for seed, what in self.broken]
        elif entries:
            lines.append(
                f"nothing lost, doubled or stuck: less than {3 / entries:.1e} of entries and"
                f" {3 / self.seeds:.1e} of worlds (95 %, rule of three)"
            )
        return "\n".join(lines)


@contextmanager
def laboratory() -> Iterator[Lab]:
    """The server of this process with its base world, and Node with the shipped phone."""
    folder = clinic.start_django()
    try:
        database = clinic.Database(folder)
        cast = clinic.make_cast()
        database.keep_base()
        lab = Lab(Node(), clinic.Server(), database, cast)
        try:
            yield lab
        finally:
            lab.node.close()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def mutated(lab: Lab, mutant: Mutant) -> Iterator[None]:
    if not mutant.on_phone:
        with server_code(mutant):
            yield
        return
    shipped = lab.node
    with phone_core(mutant, lab.database.folder) as node:
        lab.node = node
        try:
            yield
        finally:
            lab.node = shipped


def live(lab: Lab, seed: int, focus: str = "") -> tuple[World, str | None]:
    """One world to its end, and what broke in it."""
    world = World(seed, lab, focus)
    try:
        world.live()
    except Violation as broken:
        return world, str(broken)
    except Exception as error:  # noqa: BLE001  a crash is a find too: of the tester or the tested
        where = traceback.extract_tb(error.__traceback__)[-1]
        return world, f"{type(error).__name__}: {error} ({where.name}:{where.lineno})"[:300]
    return world, None


def worlds(lab: Lab, seeds: Iterable[int], budget_s: float | None = None, focus: str = "") -> Tally:
    """As many of these worlds as the time allows."""
    tally, began = Tally(), time.monotonic()
    for seed in seeds:
        lab.server.count = 0
        world, broken = live(lab, seed, focus)
        tally.seeds += 1
        tally.counts += world.counts
        tally.counts["entries"] += len(world.oracle.shown)
        tally.counts["requests"] += lab.server.count
        tally.counts["missed days looked at"] += world.oracle.missed_seen
        tally.faults += world.network.faults
        if broken:
            tally.broken.append((seed, broken))
            if os.environ.get("SIM_TELL"):
                print(f"seed {seed}: {broken}", flush=True)
        if budget_s is not None and time.monotonic() - began > budget_s:
            break
    tally.seconds = time.monotonic() - began
    return tally


@dataclass
class Find:
    """How a broken design showed: in which world, after how many, and what was seen."""

    name: str
    tried: int
    seed: int | None = None
    seen: str = ""

    def told(self) -> str:
        if not self.seen:
            return f"{self.name}: not found in {self.tried} worlds"
        return f"{self.name}: {self.tried} tried, world {self.seed}: {self.seen[:140]}"


def first_catch(lab: Lab, mutant: Mutant, seeds: Iterable[int]) -> Find:
    """The first of these worlds that breaks."""
    tried = 0
    with mutated(lab, mutant):
        for seed in seeds:
            tried += 1
            _, broken = live(lab, seed, mutant.focus)
            if broken:
                return Find(mutant.name, tried, seed, broken)
    return Find(mutant.name, tried)


def not_whole(lab: Lab, found: Iterable[tuple[Mutant, int]]) -> list[str]:
    """Which of the worlds that show a broken design break under the one as shipped too."""
    lives = {(mutant.focus, seed): mutant.name for mutant, seed in found}
    told = []
    for (focus, seed), name in lives.items():
        _, broken = live(lab, seed, focus)
        if broken:
            told.append(f"world {seed} of {name}: {broken}")
    return told
