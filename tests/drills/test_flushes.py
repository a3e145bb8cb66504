"""No reply before the flush: seen in the system calls, and in what a power cut leaves behind."""

import json
import random
import sqlite3
import time
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.support.cluster import children
from tests.support.drilled import drilled, phones_of
from tests.support.power_cut import Disk
from tests.support.syscalls import Call, traced

USUAL = ""
LOG_FLUSHED = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;"
LOG_LAZY = "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;"
NEVER_FLUSHED = "PRAGMA journal_mode=DELETE; PRAGMA synchronous=OFF;"
BACKENDS = """SELECT pid FROM pg_stat_activity
WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()"""


@dataclass(frozen=True)
class Traced:
    """Pushes of a few entries each and every call that they led to."""

    calls: list[Call]
    pushes: list[set[str]]
    folder: Path
    before: dict[str, bytes]

    def answered(self, push: set[str]) -> int:
        """The call that sent the receipts of this push."""
        names = [name.encode() for name in push]
        return next(
            place
            for place, call in enumerate(self.calls)
            if call.name == "sendto"
            and b'"receipts"' in call.data
            and all(name in call.data for name in names)
        )

    def flushed_before_reply(self, kind: str) -> list[bool]:
        """For each push: was a file of this kind flushed after the insert, before the reply?"""
        return [
            any(
                call.flushes and kind in call.path
                for call in self.calls[self._inserted(push) : self._reply_began(push)]
            )
            for push in self.pushes
        ]

    def _inserted(self, push: set[str]) -> int:
        """The last call before the reply that carried one of its entries to the database."""
        names = [name.encode() for name in push]
        return max(
            place
            for place, call in enumerate(self.calls[: self.answered(push)])
            if call.name in {"pwrite64", "recvfrom"} and any(name in call.data for name in names)
        )

    def _reply_began(self, push: set[str]) -> int:
        return max(
            place
            for place, call in enumerate(self.calls[: self.answered(push) + 1])
            if call.name == "sendto" and call.data.startswith(b"HTTP/1.1 200")
        )


def pushes_of(phone, times: int) -> list[set[str]]:
    pushed = []
    for _ in range(times):
        rows = [phone.save() for _ in range(3)]
        phone.push(rows)
        pushed.append({row.id for row in rows})
    return pushed


@pytest.fixture(scope="module")
def on_sqlite(tmp_path_factory, long_run):
    """`on_sqlite(pragmas)`: the calls of a server with these, traced once."""
    known: dict[str, Traced] = {}

    def trace(pragmas: str) -> Traced:
        if pragmas not in known:
            folder = tmp_path_factory.mktemp("flushes") / "clinic"
            known[pragmas] = _on_sqlite(folder, pragmas, 30 if long_run else 4)
        return known[pragmas]

    return trace


def _on_sqlite(folder: Path, pragmas: str, times: int) -> Traced:
    with ExitStack() as keep:
        server = drilled(keep, "sqlite", folder, **({"init_command": pragmas} if pragmas else {}))
        (phone,) = phones_of(server, 1)
        server.start()
        phone.round()
        before = _at_rest(folder)
        with traced(*children(server.process.pid)) as calls:
            pushes = pushes_of(phone, times)
    return Traced(calls, pushes, folder, before)


def _at_rest(folder: Path) -> dict[str, bytes]:
    """The record's files once the last request has closed it: what lay beside it is gone then."""
    until = time.monotonic() + 10
    while len(files := sorted(folder.glob("demo.sqlite3*"))) > 1 and time.monotonic() < until:
        time.sleep(0.05)
    return {path.name: path.read_bytes() for path in files}


def on_postgresql(folder: Path, **settings: str) -> Traced:
    with ExitStack() as keep:
        server = drilled(keep, "postgresql", folder, **settings)
        (phone,) = phones_of(server, 1)
        server.start()
        phone.round()
        backends = [pid for (pid,) in server.cluster.ask(BACKENDS)]
        # And the postmaster, for backends to come. The log writer flushes unasked: left out.
        postmaster = server.cluster.process.pid
        with traced(*children(server.process.pid), postmaster, *backends) as calls:
            pushes = pushes_of(phone, 3)
    return Traced(calls, pushes, folder, {})


def test_sqlite_flushes_a_pushed_entry_before_the_reply_begins(on_sqlite):
    flushed = on_sqlite(USUAL).flushed_before_reply("demo.sqlite3")

    assert len(flushed) >= 4
    assert all(flushed)


def test_the_trace_sees_when_sqlite_does_not_flush(on_sqlite):
    assert not any(on_sqlite(NEVER_FLUSHED).flushed_before_reply("demo.sqlite3"))


def test_postgresql_flushes_its_log_before_the_reply_begins(tmp_path):
    trace = on_postgresql(tmp_path / "clinic")

    assert trace.flushed_before_reply("/pg_wal/") == [True] * 3


def test_the_trace_sees_when_postgresql_does_not_flush(tmp_path):
    trace = on_postgresql(tmp_path / "clinic", synchronous_commit="off")

    assert not all(trace.flushed_before_reply("/pg_wal/"))


# --- the power goes -----------------------------------------------------------


@dataclass
class Cuts:
    states: int = 0
    lost: int = 0  # acknowledged before the cut, and not there after it
    damaged: int = 0  # no sound database is left
    partial: int = 0  # a push of which a part is there


def cut_everywhere(trace: Traced, scratch: Path, *, every: int, seed: int = 20300304) -> Cuts:
    """Cut the power after each flush, each name that goes, and every n-th call between."""
    disk, cuts, chance = Disk(trace.folder, trace.before), Cuts(), random.Random(seed)
    answered = {trace.answered(push): push for push in trace.pushes}
    told: set[str] = set()
    for place, call in enumerate(trace.calls):
        disk.apply(call)
        told |= answered.get(place, set())
        if place % every and not call.flushes and call.name not in {"unlink", "sendto"}:
            continue
        for files in disk.states(chance):
            _look(cuts, _left(scratch, files), told, trace.pushes)
    return cuts


def _look(cuts: Cuts, left: set[str] | None, told: set[str], pushes: list[set[str]]) -> None:
    cuts.states += 1
    if left is None:
        cuts.damaged += 1
        return
    cuts.lost += len(told - left)
    cuts.partial += sum(0 < len(push & left) < len(push) for push in pushes)


def _left(scratch: Path, files: dict[str, bytes]) -> set[str] | None:
    """The ids a restarted server would find; None when the database is not sound."""
    for old in scratch.glob("demo.sqlite3*"):
        old.unlink()
    for name, data in files.items():
        (scratch / name).write_bytes(data)
    with closing(sqlite3.connect(scratch / "demo.sqlite3")) as line:
        try:
            if line.execute("PRAGMA integrity_check").fetchone() != ("ok",):
                return None
            rows = line.execute("SELECT raw FROM homeprogram_entry").fetchall()
        except sqlite3.DatabaseError:
            return None
    return {json.loads(raw)["id"] for (raw,) in rows}


@pytest.mark.parametrize("pragmas", [USUAL, LOG_FLUSHED], ids=["usual", "write_ahead_log"])
def test_a_power_cut_at_any_moment_leaves_every_acknowledged_entry(
    on_sqlite, tmp_path, pragmas, long_run, tally
):
    cuts = cut_everywhere(on_sqlite(pragmas), tmp_path, every=1 if long_run else 12)

    tally(str(cuts))
    assert (cuts.lost, cuts.damaged, cuts.partial) == (0, 0, 0)
    assert cuts.states > 100


@pytest.mark.parametrize("pragmas", [NEVER_FLUSHED, LOG_LAZY], ids=["never_flushed", "lazy_log"])
def test_the_cut_finds_what_a_lazier_database_would_lose(on_sqlite, tmp_path, pragmas, tally):
    cuts = cut_everywhere(on_sqlite(pragmas), tmp_path, every=12)

    tally(str(cuts))
    assert cuts.lost + cuts.damaged > 0
