"""What must hold after every step and at the end, whatever went wrong."""

import hashlib
import json
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

SLACK_MS = 1_000  # what reading the queue and the clock may take
WAITING = ("stored", "offered")


class Violation(AssertionError):
    """A promise was broken in this world."""


@dataclass
class Shown:
    """An entry of which the phone said that it is saved."""

    id: str
    phone: str
    kind: str
    for_date: str
    episode_id: str | None
    fields: dict
    saved_ms: float
    gone: bool = False  # its phone was wiped since
    away: bool = False  # its phone's database was thrown away when the clinic had it


@dataclass
class Served:
    """What the server holds of the patient at one moment."""

    entries: dict[str, dict] = field(default_factory=dict)  # by sha256
    held: dict[str, dict] = field(default_factory=dict)
    phones: dict[str, str] = field(default_factory=dict)  # state by id

    @property
    def hashes(self) -> set[str]:
        return self.entries.keys() | self.held.keys()


def served(patient_id: object) -> Served:
    columns = "SELECT sha256, entry_id, number, raw FROM homeprogram_"
    entries = _rows(columns + "entry WHERE patient_id = %s", patient_id)
    more = columns.replace(" FROM", ", for_date, settled_at FROM")
    held = _rows(more + "heldentry WHERE patient_id = %s", patient_id)
    phones = _rows("SELECT id, state FROM homeprogram_phone WHERE patient_id = %s", patient_id)
    return Served(
        {row[0]: _named(row) for row in entries},
        {row[0]: _named(row) | {"for_date": row[4], "settled": row[5]} for row in held},
        {_uuid(phone_id): state for phone_id, state in phones},
    )


def _rows(sql: str, patient_id: object) -> list[tuple]:
    """Asked without the models: often, and not through what is under test."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute(sql, [patient_id.hex])
        return cursor.fetchall()


def _named(row: tuple) -> dict:
    sha, entry_id, number, raw = row[:4]
    return {"sha256": sha, "entry_id": _uuid(entry_id), "number": number, "raw": raw}


def _uuid(value: str | None) -> str | None:
    return str(UUID(value)) if value else None


class Oracle:
    """Knows what was shown, what the server had, and what a restore took from it."""

    def __init__(self, patient_id: object, zone: str) -> None:
        self.patient_id, self.zone = patient_id, ZoneInfo(zone)
        self.shown: dict[str, Shown] = {}
        self.lost: set[str] = set()  # hashes that a restore or failover took away
        self.last = served(patient_id)
        # Entries with a flipped bit: hashes of what they became, by the true one.
        self.damaged: dict[str, set[str]] = {}
        self.missed_seen = 0
        self._steps = 0

    # --- events the world tells ------------------------------------------------

    def server_went_back(self) -> None:
        now = served(self.patient_id)
        self.lost |= self.last.hashes - now.hashes
        self._away_from_both(now)
        self.last = now

    def away(self, name: str, rows: list[dict]) -> None:
        """The phone forgets what the clinic confirmed, and only that."""
        unsent = {row["id"] for row in rows if row["state"] in WAITING}
        for one in self.shown.values():
            one.away |= one.phone == name and one.id not in unsent
        self._away_from_both(served(self.patient_id))

    def _away_from_both(self, state: Served) -> None:
        """Forgotten by the phone, and lost by a server that went back: as good as cleared."""
        here = {row["entry_id"] for row in (*state.entries.values(), *state.held.values())}
        for one in self.shown.values():
            one.gone |= one.away and one.id not in here

    # --- after every step ------------------------------------------------------

    def step(self, seen: dict[str, dict], now: datetime) -> None:
        state = served(self.patient_id)
        self._server_keeps(state)
        self._contents(state)
        self._versions()
        for name, phone in seen.items():
            self._phone_keeps(name, phone)
            self._numbers(name, phone)
            self._confirms_are_true(name, phone, state)
        self._absence(seen, state, now)
        self.last = state

    def _server_keeps(self, state: Served) -> None:
        gone = self.last.hashes - state.hashes
        if gone:
            raise Violation(f"the server lost {len(gone)} entries without a restore")

    def _contents(self, state: Served) -> None:
        """What is stored is what was shown, letter for letter; and no id twice."""
        ids = [row["entry_id"] for row in state.entries.values()]
        if len(ids) != len(set(ids)):
            raise Violation("one entry is stored twice")
        waits = {sha for sha, row in state.held.items() if not row["settled"]}
        if both := state.entries.keys() & waits:
            rows = [state.entries[sha]["entry_id"] for sha in both]
            raise Violation(f"stored and held at once: {rows[:3]}")
        for sha, row in state.entries.items():
            if sha in self.last.entries:
                continue
            if hashlib.sha256(row["raw"].encode()).hexdigest() != sha:
                raise Violation(f"entry {row['entry_id']} is stored damaged")
            body = json.loads(row["raw"])
            number = body.pop("number")
            if number != row["number"]:
                raise Violation("the number beside an entry is not the number in it")
            shown = self.shown.get(body["id"])
            if shown and body != shown.fields:
                raise Violation(f"entry {shown.id} is not what the phone had shown")

    def _versions(self) -> None:
        changes = "SELECT count(*), min(version), max(version) FROM homeprogram_change"
        (found,) = _rows(f"{changes} WHERE patient_id = %s", self.patient_id)
        patient = "SELECT log_version FROM homeprogram_patient WHERE id = %s"
        ((last,),) = _rows(patient, self.patient_id)
        if found != (last, 1, last):
            raise Violation(f"versions have a gap: {found}, and the patient's is {last}")

    def _phone_keeps(self, name: str, phone: dict) -> None:
        here = {row["id"] for row in phone["entries"]} | set(phone["rescued"])
        for one in self.shown.values():
            if one.phone == name and not (one.gone or one.away) and one.id not in here:
                raise Violation(f"phone {name} showed {one.kind} {one.id} as saved and lost it")

    @staticmethod
    def _numbers(name: str, phone: dict) -> None:
        own = phone["meta"].get("phone_id")
        numbers = [row["number"] for row in phone["entries"] if row["phone_id"] == own]
        if len(numbers) != len(set(numbers)):
            raise Violation(f"phone {name} gave one number twice")
        if numbers and max(numbers) > phone["meta"].get("number", 0):
            raise Violation(f"phone {name} forgot a number it gave")

    def _confirms_are_true(self, name: str, phone: dict, state: Served) -> None:
        for row in phone["entries"]:
            if row["state"] in WAITING or row["sha256"] in self.lost | self.damaged.keys():
                continue
            if row["digest"] not in state.hashes:
                raise Violation(f"phone {name} believes that {row['id']} is at the clinic")
            if row["state"] == "confirmed" and row["sha256"] not in state.entries:
                raise Violation(f"phone {name} calls {row['id']} stored, and it is held")

    def _absence(self, seen: dict[str, dict], state: Served, now: datetime) -> None:
        """No watermark behind an unsent entry, no missed day that a phone knows better."""
        from homeprogram.models import Patient
        from homeprogram.selectors.plans import context_of

        unsent = self._unsent(seen, state)
        self._steps += 1
        wiped = self._wiped(state)
        custody = {
            row["for_date"] for row in state.held.values() if not row["settled"] and row["for_date"]
        }
        if not (unsent or wiped or custody) and self._steps % 4:
            return  # nothing can be wrong but the hours of a day: look less often
        patient = Patient.objects.select_related("clinic").get(id=self.patient_id)
        context = context_of(patient=patient, now=now, days_back=28)
        mark = context.watermark and context.watermark.timestamp() * 1000
        for one in unsent:
            if mark and mark > one.saved_ms + SLACK_MS:
                raise Violation(
                    f"the watermark stands {(mark - one.saved_ms) / 1000:.0f} s behind the saving"
                    f" of {one.kind} {one.id}, which phone {one.phone} has not sent"
                )
        self._days(context, [*unsent, *wiped], custody, now)

    def _unsent(self, seen: dict[str, dict], state: Served) -> list[Shown]:
        """Shown, not at the server, on a phone that the server takes for active."""
        unsent = []
        for phone in seen.values():
            if state.phones.get(phone["meta"].get("phone_id")) != "active":
                continue
            own = phone["meta"]["phone_id"]
            waiting = [
                row["id"]
                for row in phone["entries"]
                if row["sha256"] not in state.hashes
                and row["sha256"] not in self.damaged
                and row["phone_id"] == own
            ]
            unsent += [
                self.shown[id_] for id_ in (*waiting, *phone["rescued"]) if id_ in self.shown
            ]
        return unsent

    def _wiped(self, state: Served) -> list[Shown]:
        """Saved, never arrived, and cleared from the phone: nobody may call that day missed."""
        here = {row["entry_id"] for row in (*state.entries.values(), *state.held.values())}
        return [one for one in self.shown.values() if one.gone and one.id not in here]

    def _days(
        self, context: object, unheard: list[Shown], custody: set[str], now: datetime
    ) -> None:
        today = now.astimezone(self.zone).date()
        for episode in context.episodes:
            mine = [one for one in unheard if one.episode_id == str(episode.id)]
            for day in context.days(episode, today - timedelta(days=14), today):
                noon = self._noon_after(day.day)
                early = now < noon
                if day.status in ("missed", "not_known_yet") and early:
                    raise Violation(f"{day.day} is {day.status} before its noon")
                if day.status == "still_open" and not early:
                    raise Violation(f"{day.day} is still open after its noon")
                if day.status == "missed":
                    self._is_missed(day.day.isoformat(), noon.timestamp() * 1000, mine, custody)

    def _is_missed(self, day: str, noon_ms: float, unheard: list[Shown], custody: set[str]) -> None:
        self.missed_seen += 1
        if day in custody:
            raise Violation(f"{day} is missed, and an entry of it is in custody")
        for one in unheard:
            if one.for_date == day and one.saved_ms + SLACK_MS < noon_ms:
                raise Violation(f"{day} is missed, and phone {one.phone} had {one.kind} {one.id}")

    def _noon_after(self, day: date) -> datetime:
        after = day + timedelta(days=1)
        return datetime(after.year, after.month, after.day, 12, tzinfo=self.zone)
