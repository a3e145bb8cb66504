"""Takes entries into the log: stored, already there, or held. None is ever dropped."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import DatabaseError, OperationalError, transaction

from homeprogram.calc.entry_body import EntryBody, claimed, read_body, storable
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.calc.readings import AMENDS
from homeprogram.calc.text_forms import digest
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
class ReadItem:
    """An item and what could be read of it."""

    item: Item
    body: EntryBody | InvalidEntry


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
    phones: dict[UUID, Phone]


def items_read(items: Sequence[Item]) -> list[ReadItem]:
    """Every item, read or refused; needs no database."""
    return [ReadItem(item, _body(item)) for item in items]


def _body(item: Item) -> EntryBody | InvalidEntry:
    try:
        if not storable(item.body):
            raise InvalidEntry("This entry is not readable.", code="entry_unreadable")
        if digest(item.body) != item.sha256:
            raise InvalidEntry("This entry was damaged on its way.", code="hash_mismatch")
        return read_body(item.body)
    except InvalidEntry as refusal:
        return refusal


class Intake:
    """One batch of one phone. Needs the patient's lock.

    `rows` = the stored entries it concerns (selectors.log.entries_concerned).
    """

    def __init__(
        self,
        *,
        patient: Patient,
        phone: Phone,
        items: Sequence[ReadItem],
        rows: Sequence[Entry],
        known: Known,
        now: datetime,
        custody_only: bool = False,
    ) -> None:
        self.patient, self.phone, self.known, self.now = patient, phone, known, now
        self.custody_only = custody_only
        self.items = items
        self.outcomes: list[Outcome] = []
        self._new: list[Entry | HeldEntry] = []
        self._here = {row.entry_id: row for row in rows}
        self._numbers = {(row.phone_id, row.number) for row in rows}
        read = [one.body for one in items if isinstance(one.body, EntryBody)]
        self._kinds = {row.entry_id: row.kind for row in rows} | {b.id: b.kind for b in read}
        self._custody: dict[str, HeldEntry] | None = None

    def take(self) -> list[Outcome]:
        """Decide every item, write what is new, and say what became of each."""
        for one in self.items:
            self.outcomes.append(self._decide(one.item, one.body))
        self._write()
        return self.outcomes

    @property
    def stored(self) -> list[Entry]:
        return [outcome.row for outcome in self.outcomes if outcome.word == "stored"]

    @property
    def held(self) -> list[HeldEntry]:
        """Only those that were not in custody before."""
        return [row for row in self._new if isinstance(row, HeldEntry)]

    # --- deciding ---------------------------------------------------------

    def _decide(self, item: Item, body: EntryBody | InvalidEntry) -> Outcome:
        if isinstance(body, InvalidEntry):
            return self._hold(item, body)
        row = self._here.get(body.id)
        if row and row.sha256 == item.sha256:
            return Outcome("already", row, item)
        if refusal := self._refusal(body):
            return self._hold(item, refusal)
        entry = self._entry(item, body)
        self._new.append(entry)
        self._here[body.id] = entry
        self._numbers.add((body.phone_id, body.number))
        return Outcome("stored", entry, item)

    def _refusal(self, body: EntryBody) -> InvalidEntry | None:
        """Why an entry that can be read cannot be used."""
        if self.custody_only:
            return InvalidEntry("This phone was replaced by another.", code="phone_replaced")
        if body.phone_id not in self.known.phones:
            return InvalidEntry("This entry was written on another phone.", code="other_phone")
        if body.id in self._here:
            other = "Another entry with this name is here already."
            return InvalidEntry(other, code="id_taken")
        if (body.phone_id, body.number) in self._numbers:
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
        kind = self._kinds.get(_of(body)) if body.kind == "correction" else None
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
            # What was written before the phone was paired anew keeps its name and number.
            phone=self.known.phones[body.phone_id],
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
            of=_of(body),
            payload=body.payload,
            raw=item.body,
            sha256=item.sha256,
            received_at=self.now,
        )

    def _hold(self, item: Item, refusal: InvalidEntry) -> Outcome:
        held = self._in_custody(item)
        if held is None:
            held = self._held(item, refusal)
            self._custody[held.sha256] = held
            self._new.append(held)
        return Outcome("held", held, item)

    def _in_custody(self, item: Item) -> HeldEntry | None:
        if self._custody is None:
            # Asked for only when something has to be held, which is rare.
            hashes = [digest(one.item.body) for one in self.items]
            self._custody = log.held_known(phone=self.phone, hashes=hashes)
        return self._custody.get(digest(item.body))

    def _held(self, item: Item, refusal: InvalidEntry) -> HeldEntry:
        said = claimed(item.body)
        return HeldEntry(
            clinic_id=self.patient.clinic_id,
            patient=self.patient,
            phone=self.phone,
            entry_id=said["id"],
            number=said["number"],
            for_date=said["for_date"],
            # What the database cannot hold is kept escaped, so nothing is lost.
            raw=item.body if storable(item.body) else json.dumps(item.body),
            # Of the text itself: a phone that hashes wrongly loses nothing by it.
            sha256=digest(item.body),
            code=refusal.code,
            message=refusal.message,
            received_at=self.now,
        )

    def _write(self) -> None:
        for version, row in enumerate(self._new, start=self.patient.log_version + 1):
            row.version = version
        try:
            with transaction.atomic():
                Entry.objects.bulk_create(row for row in self._new if isinstance(row, Entry))
                HeldEntry.objects.bulk_create(self.held)
        except OperationalError:
            raise  # a lock, a time limit, a full disk: it passes, and says nothing of the items
        except DatabaseError:
            self._write_one_by_one()
        changes_announce(patient=self.patient, what=[_change(row) for row in self._new])

    def _write_one_by_one(self) -> None:
        """Something in the batch does not fit the tables: find it, hold it, store the rest."""
        rows, self._new = self._new, []
        for row in rows:
            if not self._saved(row):
                self._hold_instead(row)

    def _saved(self, row: Entry | HeldEntry) -> bool:
        row.version = self.patient.log_version + len(self._new) + 1
        try:
            with transaction.atomic():
                row.save(force_insert=True)
        except DatabaseError as fault:
            if isinstance(row, HeldEntry) or isinstance(fault, OperationalError):
                raise  # custody itself failed: the phone keeps everything and asks again
            return False
        self._new.append(row)
        return True

    def _hold_instead(self, row: Entry) -> None:
        """Every item that was answered with this row, repeats included."""
        places = [place for place, one in enumerate(self.outcomes) if one.row is row]
        item = self.outcomes[places[0]].item
        held = self._in_custody(item)
        if held is None:
            refusal = InvalidEntry("The record could not take this entry.", code="entry_refused")
            held = self._custody[digest(item.body)] = self._held(item, refusal)
            self._saved(held)
        for place in places:
            self.outcomes[place] = Outcome("held", held, self.outcomes[place].item)


def _of(body: EntryBody) -> UUID | None:
    """The entry it amends."""
    return UUID(body.payload["of"]) if body.kind in AMENDS else None


def _change(row: Entry | HeldEntry) -> tuple[ChangeType, UUID]:
    if isinstance(row, Entry):
        return ChangeType.ENTRY, row.entry_id
    return ChangeType.ENTRY_STATE, row.id
