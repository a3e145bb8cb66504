"""A simulated phone: it freezes entries, queues them, pushes, pulls and names revisions.

It speaks through the same services as a real phone's requests do, with the
moment of each request handed in, so the record comes out as it would have.
"""

import hashlib
import json
from collections.abc import Mapping
from datetime import date, datetime
from random import Random
from uuid import UUID

from homeprogram.selectors.pull import changes_rendered
from homeprogram.services.intake import Item
from homeprogram.services.push import Claim, Push, push_take

BUILD = "demo"
PATIENT = {"who": "patient"}


def uuid7(at_ms: int, rng: Random) -> UUID:
    """An id as the phone makes it: 48 bits of clock, the rest random (RFC 9562, 5.7)."""
    value = (at_ms & (1 << 48) - 1) << 80 | rng.getrandbits(80)
    value = value & ~(0xF << 76) | 0x7 << 76
    value = value & ~(0x3 << 62) | 0x2 << 62
    return UUID(int=value)


def millis(moment: datetime) -> int:
    return int(moment.timestamp() * 1000)


class SimulatedPhone:
    """One paired phone. `row` and `patient` are what the pairing service returned."""

    def __init__(self, *, row: object, patient: object, rng: Random) -> None:
        self._row, self._patient, self._rng = row, patient, rng
        self._number = 0
        self._cursor = 0
        self._unsent: list[Item] = []
        self._programs: dict[str, dict] = {}
        self._cleared_ms: int | None = None

    def revision(self, limb: str, day: date) -> dict | None:
        """The revision this phone follows on that day, as it pulled it."""
        program = self._programs.get(limb, {"revisions": []})
        in_effect = [
            one
            for one in program["revisions"]
            if one["effective_from"] and one["effective_from"] <= day.isoformat()
        ]
        return max(in_effect, key=lambda one: one["number"], default=None)

    def episode_id(self, limb: str) -> str:
        return self._programs[limb]["episode"]["id"]

    def save(
        self,
        kind: str,
        payload: Mapping,
        *,
        at: datetime,
        limb: str | None = None,
        revision_id: str | None = None,
        logged_by: Mapping = PATIENT,
    ) -> str:
        """Freeze one entry into the queue; returns its id. `at` is in the phone's zone."""
        self._number += 1
        body = {
            "id": str(uuid7(millis(at), self._rng)),
            "phone_id": str(self._row.id),
            "number": self._number,
            "kind": kind,
            "schema": 1,
            "episode_id": self.episode_id(limb) if limb else None,
            "revision_id": revision_id,
            "for_date": at.date().isoformat(),
            "local_time": at.strftime("%Y-%m-%dT%H:%M:%S"),
            "offset_min": int(at.utcoffset().total_seconds() // 60),
            "zone": at.tzinfo.key,
            "device_ms": millis(at),
            "clock_changed": False,
            "logged_by": dict(logged_by),
            "payload": dict(payload),
        }
        text = json.dumps(body, ensure_ascii=False)
        self._unsent.append(Item(text, hashlib.sha256(text.encode()).hexdigest()))
        return body["id"]

    def clear(self, at: datetime) -> None:
        """The browser threw away what was not sent; the next push says so."""
        self._number -= len(self._unsent)
        self._unsent, self._cleared_ms = [], millis(at)

    def sync(self, now: datetime) -> None:
        """One round; another when the pull brought a revision not yet named."""
        self._push(now)
        self._pull()
        if self._unnamed():
            self._push(now)
            self._pull()

    def _revisions(self) -> list[dict]:
        return [one for program in self._programs.values() for one in program["revisions"]]

    def _unnamed(self) -> bool:
        return any(one["effective_from"] is None for one in self._revisions())

    def _push(self, now: datetime) -> None:
        push = Push(
            build=BUILD,
            high=self._number,
            have_revision=[UUID(one["id"]) for one in self._revisions()],
            items=self._unsent,
            claim=Claim(at_ms=millis(now), high=self._number),
            sent_ms=millis(now),
            cleared_ms=self._cleared_ms,
        )
        push_take(phone=self._row, push=push, now=now)
        self._unsent = []

    def _pull(self) -> None:
        more = True
        while more:
            pulled = changes_rendered(patient=self._patient, after=self._cursor)
            self._cursor, more = pulled.version, pulled.more
            for change in pulled.changes:
                if change["type"] == "program":
                    program = change["program"]
                    self._programs[program["episode"]["limb"]] = program
