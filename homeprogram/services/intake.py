"""Takes entries into the log: stored, already there, or held. None is ever dropped."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import DatabaseError, transaction

from homeprogram.calc.entry_body import EntryBody, claimed, read_body, storable
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.calc.readings import AMENDS
from homeprogram.errors import InvalidEntry
from homeprogram.models import ChangeType, Entry, HeldEntry, Patient, Phone, Revision
from homeprogram.selectors import log
from homeprogram.services.changes import changes_announce

NEEDS_EPISODE = {"bout", "not_done", "skin_check", "morning_check"}


@dataclass(frozen=True, slots=True)
class Item:
    """One item of a push: the text as frozen, the hash the phone made of it."""

    body: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one item: stored, already or held."""

    word: str
    row: Entry | HeldEntry
    item: Item


@dataclass(frozen=True, slots=True)
class Known:
    """The patient's own rows that an entry may name."""

    episodes: frozenset[UUID]
    revisions: dict[UUID, Revision]


class Intake:
    """One batch of one phone. Needs the patient's lock."""

    def __init__(
        self,
        *,
        patient: Patient,
        phone: Phone,
        items: Sequence[Item],
        known: Known,
        now: datetime,
        custody_only: bool = False,
    ) -> None:
        self.patient, self.phone, self.known, self.now = patient, phone, known, now
        self.custody_only = custody_only
        self.items = list(items)
        self.outcomes: list[Outcome] = []
        self._new: list[Entry | HeldEntry] = []
        bodies = [self._body(item) for item in self.items]
        read = [body for body in bodies if isinstance(body, EntryBody)]
        self._bodies = bodies
        self._here = log.entries_known(patient=patient, ids={body.id for body in read})
        self._custody = log.held_known(phone=phone, hashes=[i.sha256 for i in self.items])
        self._numbers = log.numbers_used(phone=phone, numbers={body.number for body in read})
        self._targets = self._target_kinds(read)

    def take(self) -> list[Outcome]:
        """Decide every item, write what is new, and say what became of each."""
        for item, body in zip(self.items, self._bodies, strict=True):
            self.outcomes.append(self._decide(item, body))
        self._write()
        return self.outcomes

    @property
    def stored(self) -> list[Entry]:
        return [outcome.row for outcome in self.outcomes if outcome.word == "stored"]

    # --- deciding ---------------------------------------------------------

    def _body(self, item: Item) -> EntryBody | InvalidEntry:
        try:
            if not storable(item.body):
                raise InvalidEntry("This entry is not readable.", code="entry_unreadable")
            if hashlib.sha256(item.body.encode()).hexdigest() != item.sha256:
                raise InvalidEntry("This entry was damaged on its way.", code="hash_mismatch")
            return read_body(item.body)
        except InvalidEntry as refusal:
            return refusal

    def _target_kinds(self, read: Sequence[EntryBody]) -> dict[UUID, str]:
        """Kinds of the entries that corrections name, as far as they are here."""
        targets = {UUID(b.payload["of"]) for b in read if b.kind in AMENDS}
        kinds = {body.id: body.kind for body in read}
        if missing := targets - set(kinds):
            rows = log.entries_known(patient=self.patient, ids=missing)
            kinds |= {entry_id: row.kind for entry_id, row in rows.items()}
        return kinds

    def _decide(self, item: Item, body: EntryBody | InvalidEntry) -> Outcome:
        if isinstance(body, InvalidEntry):
            return self._hold(item, body)
        if row := self._here.get(body.id):
            if row.sha256 == item.sha256:
                return Outcome("already", row, item)
            other = "Another entry with this name is here already."
            return self._hold(item, InvalidEntry(other, code="id_taken"))
        if refusal := self._refusal(body):
            return self._hold(item, refusal)
        entry = self._entry(item, body)
        self._new.append(entry)
        self._here[body.id] = entry
        self._numbers.add(body.number)
        return Outcome("stored", entry, item)

    def _refusal(self, body: EntryBody) -> InvalidEntry | None:
        """Why an entry that can be read cannot be used."""
        if self.custody_only:
            return InvalidEntry("This phone was replaced by another.", code="phone_replaced")
        if body.phone_id != self.phone.id:
            return InvalidEntry("This entry was written on another phone.", code="other_phone")
        if body.number in self._numbers:
            return InvalidEntry("This number was used before.", code="number_taken")
        if body.episode_id is not None and body.episode_id not in self.known.episodes:
            return InvalidEntry("This limb's care is not known here.", code="episode_unknown")
        if body.episode_id is None and body.kind in NEEDS_EPISODE:
            return InvalidEntry("This entry names no limb.", code="episode_missing")
        return self._program_refusal(body) or self._correction_refusal(body)

    def _program_refusal(self, body: EntryBody) -> InvalidEntry | None:
        revision = self.known.revisions.get(body.revision_id)
        if body.revision_id is not None and (
            revision is None or revision.program.episode_id != body.episode_id
        ):
            return InvalidEntry("This home program is not known here.", code="revision_unknown")
        if body.kind == "bout" and revision is None:
            return InvalidEntry("This bout names no home program.", code="revision_missing")
        return None

    def _correction_refusal(self, body: EntryBody) -> InvalidEntry | None:
        """A correction must fit its target; one that comes first waits for it."""
        kind = self._targets.get(UUID(body.payload["of"])) if body.kind == "correction" else None
        if kind is None or kind in AMENDS:
            return None
        try:
            PAYLOADS[kind](body.payload["payload"])
        except InvalidEntry as refusal:
            return refusal
        return None

    # --- writing ----------------------------------------------------------

    def _entry(self, item: Item, body: EntryBody) -> Entry:
        return Entry(
            clinic_id=self.patient.clinic_id,
            patient=self.patient,
            phone=self.phone,
            episode_id=body.episode_id,
            revision_id=body.revision_id,
            entry_id=body.id,
            number=body.number,
            kind=body.kind,
            schema=body.schema,
            for_date=body.for_date,
            local_time=body.local_time,
            offset_min=body.offset_min,
            zone=body.zone,
            device_ms=body.device_ms,
            clock_changed=body.clock_changed,
            clock_offset_ms=self.phone.clock_offset_ms,
            logged_by=body.logged_by,
            of=body.payload.get("of"),
            payload=body.payload,
            raw=item.body,
            sha256=item.sha256,
            received_at=self.now,
        )

    def _hold(self, item: Item, refusal: InvalidEntry) -> Outcome:
        if held := self._custody.get(item.sha256):
            return Outcome("held", held, item)
        said = claimed(item.body)
        held = HeldEntry(
            clinic_id=self.patient.clinic_id,
            patient=self.patient,
            phone=self.phone,
            entry_id=said["id"],
            number=said["number"],
            for_date=said["for_date"],
            # What the database cannot hold is kept escaped, so nothing is lost.
            raw=item.body if storable(item.body) else json.dumps(item.body),
            sha256=item.sha256,
            code=refusal.code,
            message=refusal.message,
            received_at=self.now,
        )
        self._custody[item.sha256] = held
        self._new.append(held)
        return Outcome("held", held, item)

    def _write(self) -> None:
        for version, row in enumerate(self._new, start=self.patient.log_version + 1):
            row.version = version
        entries = [row for row in self._new if isinstance(row, Entry)]
        held = [row for row in self._new if isinstance(row, HeldEntry)]
        try:
            with transaction.atomic():
                Entry.objects.bulk_create(entries)
                HeldEntry.objects.bulk_create(held)
        except DatabaseError:
            self._write_one_by_one()
        changes_announce(patient=self.patient, what=[_change(row) for row in self._new])

    def _write_one_by_one(self) -> None:
        """Something in the batch does not fit the tables: find it, hold it, store the rest."""
        for place, row in enumerate(self._new):
            try:
                with transaction.atomic():
                    row.save(force_insert=True)
            except DatabaseError:
                if isinstance(row, HeldEntry):
                    raise  # custody itself failed: the phone keeps everything and asks again
                self._new[place] = self._hold_instead(row)

    def _hold_instead(self, row: Entry) -> HeldEntry:
        place = next(i for i, o in enumerate(self.outcomes) if o.row is row)
        item = self.outcomes[place].item
        refusal = InvalidEntry("The record could not take this entry.", code="entry_refused")
        outcome = self._hold(item, refusal)
        self._new.remove(outcome.row)  # it takes the place of the entry it stands for
        outcome.row.version = row.version
        outcome.row.save(force_insert=True)
        self.outcomes[place] = outcome
        return outcome.row


def _change(row: Entry | HeldEntry) -> tuple[ChangeType, UUID]:
    if isinstance(row, Entry):
        return ChangeType.ENTRY, row.entry_id
    return ChangeType.ENTRY_STATE, row.id
