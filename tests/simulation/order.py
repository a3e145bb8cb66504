"""The same entries in another order of arrival must give the same rows."""

import json
import sqlite3
from typing import TYPE_CHECKING

from tests.simulation.clinic import Time
from tests.simulation.oracle import Violation, served

if TYPE_CHECKING:
    from tests.simulation.world import World

DAY = (
    "episode_id",
    "day",
    "bouts_done",
    "bouts_partial",
    "contractions",
    "minutes",
    "at_floor",
    "not_done",
    "excused",
)
BOUT = ("entry__entry_id", "contractions", "complete", "at_floor", "over_ceiling", "discomfort")
SKIN = ("entry__entry_id", "moment", "grade", "itchy")


class Beginning:
    """The record when the phones had just been paired, and a credential of then."""

    def __init__(self, world: "World") -> None:
        self.copy = sqlite3.connect(":memory:")
        world.lab.database.raw().backup(self.copy)
        self.phone = next(iter(world.phones))
        self.cookie = world.phones[self.phone].cookie
        state = served(world.patient_id).phones
        self.paired = bool(self.cookie) and "active" in state.values()
        self.known = set(served(world.patient_id).phones) | _revisions(world)

    def close(self) -> None:
        self.copy.close()


def any_order(world: "World", beginning: Beginning) -> None:
    """Ends the world: its record is taken back to the beginning and told everything anew."""
    rows = list(served(world.patient_id).entries.values())
    bodies = [json.loads(row["raw"]) for row in rows]
    named = {body["phone_id"] for body in bodies} | {body["revision_id"] for body in bodies}
    if not rows or not beginning.paired or not named - {None} <= beginning.known:
        return  # of a phone or a revision that came later
    before = projections(world)
    beginning.copy.backup(world.lab.database.raw())
    hashes = {row["raw"]: row["sha256"] for row in rows}
    texts = list(hashes)
    world.rng.shuffle(texts)
    while texts:
        size = world.rng.randint(1, 6)
        batch, texts = texts[:size], texts[size:]
        _push(world, beginning, [{"body": one, "sha256": hashes[one]} for one in batch])
        Time.ms += 1_000
    world.counts["replayed in another order"] += 1
    after = projections(world)
    if after != before:
        raise Violation(f"another order gives other rows: {before} and {after}"[:400])


def projections(world: "World") -> list[tuple]:
    from homeprogram.models import Bout, PatientDay, SkinCheck

    found = []
    for model, columns in ((PatientDay, DAY), (Bout, BOUT), (SkinCheck, SKIN)):
        found += model.objects.filter(patient_id=world.patient_id).values_list(*columns)
    return sorted(map(repr, found))


def _revisions(world: "World") -> set[str]:
    from homeprogram.models import Revision

    ids = Revision.objects.filter(program__patient_id=world.patient_id)
    return set(map(str, ids.values_list("id", flat=True)))


def _push(world: "World", beginning: Beginning, items: list[dict]) -> None:
    message = {
        "protocol": 1, "build": "sim", "nonce": "again", "high": 0, "have_revision": [],
        "entries": items, "claim": None, "sent_ms": Time.ms,
    }  # fmt: skip
    asked = {
        "phone": beginning.phone, "method": "POST", "address": "/api/v1/sync/push/",
        "body": json.dumps(message), "headers": {"X-Boutwise": "1"},
    }  # fmt: skip
    answer = world.lab.server.serve(asked, beginning.cookie)
    if answer["status"] != 200:
        raise Violation(f"a push in another order was refused: {answer['text'][:200]}")
