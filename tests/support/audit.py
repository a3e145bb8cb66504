"""The record against the phones: what was acknowledged is there once, as it was frozen."""

import hashlib
import sqlite3
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

import psycopg

from tests.support.live import LiveServer
from tests.support.scripted_phone import ScriptedPhone

ROWS = """SELECT phone_id, entry_id, sha256, raw FROM homeprogram_entry
UNION ALL SELECT phone_id, entry_id, sha256, raw FROM homeprogram_heldentry"""
ANNOUNCED = "SELECT object_id FROM homeprogram_change WHERE type = 'entry'"
VERSIONS = """SELECT count(*) FROM homeprogram_patient WHERE log_version <> (
SELECT count(*) FROM homeprogram_change WHERE patient_id = homeprogram_patient.id)"""


@dataclass(frozen=True)
class Audit:
    saved: int
    acknowledged: int
    lost: int  # acknowledged, and not there with that hash
    doubled: int  # there, or announced, more than once
    damaged: int  # the text is not what its hash says
    stuck: int  # saved, and still not acknowledged
    strangers: int  # there, and no phone wrote it
    never_told: int  # committed, and acknowledged only when sent again
    broken_versions: int  # patients whose versions have a hole

    @property
    def faults(self) -> dict[str, int]:
        """What must be nothing once every phone has drained."""
        names = ("lost", "doubled", "damaged", "stuck", "strangers", "broken_versions")
        return {name: getattr(self, name) for name in names if getattr(self, name)}

    def __str__(self) -> str:
        return (
            f"saved {self.saved}, acknowledged {self.acknowledged}, lost {self.lost}, "
            f"doubled {self.doubled}, stuck {self.stuck}, there before it was told "
            f"{self.never_told}"
        )


def audit(server: LiveServer, phones: Iterable[ScriptedPhone]) -> Audit:
    """Of these phones alone; others of the same clinic may be in the middle of something."""
    phones = list(phones)
    ids = {phone.id for phone in phones}
    rows = [(named(name), sha, raw) for by, name, sha, raw in ask(server, ROWS) if named(by) in ids]
    there = {(name, sha256) for name, sha256, _ in rows}
    told = [pair for phone in phones for pair in phone.acknowledged.items()]
    written = {(row.id, row.item["sha256"]) for phone in phones for row in phone.rows.values()}
    announced = Counter(named(name) for (name,) in ask(server, ANNOUNCED))
    return Audit(
        saved=len(written),
        acknowledged=len(told),
        lost=sum(pair not in there for pair in told),
        doubled=len(rows) - len(there) + sum(times - 1 for times in announced.values()),
        damaged=sum(hashlib.sha256(raw.encode()).hexdigest() != sha for _, sha, raw in rows),
        stuck=sum(len(phone.waiting) for phone in phones),
        strangers=len(there - written),
        never_told=sum(phone.never_told for phone in phones),
        broken_versions=ask(server, VERSIONS)[0][0],
    )


def stored(server: LiveServer) -> set[str]:
    """The ids of every entry that is there or in custody."""
    return {named(name) for _, name, _, _ in ask(server, ROWS)}


def named(value: object) -> str:
    """SQLite keeps these without dashes."""
    return str(UUID(str(value)))


def ask(server: LiveServer, question: str) -> list[tuple]:
    """Straight from the tables, past all of our own code."""
    if url := server.environment.get("DATABASE_URL"):
        with psycopg.connect(url.split("&options=")[0]) as line:
            return line.execute(question).fetchall()
    line = sqlite3.connect(f"file:{server.folder / 'demo.sqlite3'}?mode=ro", uri=True, timeout=30)
    try:
        return line.execute(question).fetchall()
    finally:
        line.close()
