"""A phone without a screen: it keeps what it saved, believes receipts alone, and offers again.

One object is driven by one thread. What it does is the sync contract of DEVELOPERS.md.
"""

import http.client
import json
import time
import uuid
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from email.utils import parsedate_to_datetime
from urllib.parse import quote, urlsplit

from tests.entries import BOUT, make_entry

RECEIPT_TYPE = "application/vnd.boutwise.receipt+json"
OUTCOMES = {"stored", "already", "held"}
CLAMP_S = 3600
FRESH = {"stored", "offered"}


@dataclass
class Row:
    """One saved entry and where it is."""

    id: str
    number: int
    item: dict
    state: str = "stored"


@dataclass(frozen=True)
class Reply:
    status: int
    type: str
    body: object
    retry_after_s: float | None


class Ended(Exception):
    """A round that ended early; the entries stay where they are."""

    def __init__(self, state: str, retry_after_s: float | None = None) -> None:
        super().__init__(state)
        self.state, self.retry_after_s = state, retry_after_s


class OtherLog(Exception):
    """The clinic's log is not the one this phone knew."""


@dataclass
class ScriptedPhone:
    url: str
    id: str
    token: str
    episode_id: str
    revision_id: str
    timeout_s: float = 15
    batch: int = 250
    rows: dict[str, Row] = field(default_factory=dict)
    number: int = 0
    identity: str | None = None
    cursor: str = ""
    # The evidence: what the clinic ever said it has, and the outcome it said first.
    acknowledged: dict[str, str] = field(default_factory=dict)
    first_outcome: dict[str, str] = field(default_factory=dict)
    claims_at: datetime | None = None  # when it held nothing unsent; now, unless a test says
    heard: str = ""  # every change the clinic told since the log was met, as JSON
    statuses: list[int] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    retry_after_s: float | None = None

    def save(self, kind: str = "bout", payload: dict | None = None, **body) -> Row:
        """Freeze an entry; the default is a bout, its day drifting over half a year."""
        self.number += 1
        today = datetime.now(tz=UTC).date()
        names = {
            "id": str(uuid.uuid4()),
            "episode_id": self.episode_id,
            "revision_id": self.revision_id,
            "for_date": (today - timedelta(days=self.number % 180)).isoformat(),
        }
        names |= body
        item = make_entry(kind, payload or BOUT, phone_id=self.id, number=self.number, **names)
        row = self.rows[names["id"]] = Row(names["id"], self.number, item)
        return row

    def save_for(self, day: date) -> Row:
        return self.save(for_date=day.isoformat())

    @property
    def waiting(self) -> list[Row]:
        return [row for row in self.rows.values() if row.state in FRESH]

    @property
    def never_told(self) -> int:
        """Entries that were at the clinic before it ever said so."""
        return sum(outcome == "already" for outcome in self.first_outcome.values())

    # --- one round ------------------------------------------------------------

    def round(self) -> str:
        """Push, offer again what the clinic lost, pull: "settled" or why it ended."""
        self.retry_after_s = None
        try:
            if self.identity is None:
                self._meet()
            last = self._push_all()
            if self._offer_lost(last):
                self._push_all()
            self._pull()
        except Ended as ended:
            self.retry_after_s = ended.retry_after_s
            return ended.state
        return "settled" if not self.waiting else "stuck"

    def wait_s(self, fallback: float) -> float:
        """How long this phone would wait now; a senseless answer parks it an hour at most."""
        return fallback if self.retry_after_s is None else min(self.retry_after_s, CLAMP_S)

    def _meet(self) -> None:
        """A log we do not know: fetch it whole, and offer it everything we have."""
        asked = self._get("pairing/")
        if asked.body.get("state") != "active":
            raise Ended(str(asked.body.get("state")))
        self.cursor, self.heard = "", ""
        if self._pull_pages() != asked.body["log_identity"]:
            raise Ended("no_sense")
        for row in self.rows.values():
            row.state = "stored"
        self.identity = asked.body["log_identity"]

    def _push_all(self) -> dict:
        try:
            return self._push_until_empty()
        except OtherLog:
            self._meet()
        try:
            return self._push_until_empty()
        except OtherLog:
            raise Ended("other_log") from None

    def _push_until_empty(self) -> dict:
        put_by: set[str] = set()
        while True:
            waiting = [row for row in self.waiting if row.id not in put_by]
            batch = waiting[: self.batch]
            body = self.push(batch, claims=len(batch) == len(self.waiting))
            if body["log_identity"] != self.identity:
                raise OtherLog
            self._believe(body, batch)
            put_by |= {row.id for row in batch if row.state in FRESH}
            if len(batch) == len(waiting):
                return body

    def push(self, batch: list[Row], *, claims: bool = False) -> dict:
        """One POST; its body if it is a receipt for exactly this request."""
        nonce, sent_ms = str(uuid.uuid4()), time.time_ns() // 1_000_000
        for row in batch:
            row.state = "offered"
        at_ms = int(self.claims_at.timestamp() * 1000) if self.claims_at else sent_ms
        claim = {"at_ms": at_ms, "offset_min": 0, "zone": "UTC", "high": self.number}
        reply = self._ask(
            "POST",
            "sync/push/",
            {
                "protocol": 1,
                "build": "scripted",
                "nonce": nonce,
                "high": self.number,
                "have_revision": [self.revision_id],
                "entries": [row.item for row in batch],
                "claim": claim if claims else None,
                "sent_ms": sent_ms,
            },
        )
        body = reply.body if isinstance(reply.body, dict) else {}
        if reply.status != 200 or reply.type != RECEIPT_TYPE or body.get("nonce") != nonce:
            raise Ended(_verdict(reply), reply.retry_after_s)
        return body

    def _believe(self, body: dict, batch: list[Row]) -> None:
        sent = {row.item["sha256"]: row for row in batch}
        for receipt in body["receipts"]:
            row = sent.get(receipt["sha256"])
            if row is None or receipt["id"] != row.id or receipt["outcome"] not in OUTCOMES:
                continue
            row.state = "held" if receipt["outcome"] == "held" else "confirmed"
            self.acknowledged[row.id] = receipt["sha256"]
            self.first_outcome.setdefault(row.id, receipt["outcome"])

    def _offer_lost(self, last: dict) -> int:
        """The clinic's numbers went backwards, or show holes: it lost what it had confirmed."""
        lost, count = set(last["gaps"]), 0
        for row in self.rows.values():
            if row.state not in FRESH and (row.number > last["high"] or row.number in lost):
                row.state = "stored"
                count += 1
        return count

    def _pull(self) -> None:
        if self._pull_pages() != self.identity:
            raise Ended("other_log")

    def _pull_pages(self) -> str:
        while True:
            page = self._get(f"sync/pull/?cursor={quote(self.cursor)}").body
            self.heard += json.dumps(page["changes"])
            moved, self.cursor = page["cursor"] != self.cursor, page["cursor"]
            if not page["more"] or not moved:
                return page["log_identity"]

    # --- one request ----------------------------------------------------------

    def _get(self, path: str) -> Reply:
        reply = self._ask("GET", path)
        if reply.status != 200 or not isinstance(reply.body, dict):
            raise Ended(_verdict(reply), reply.retry_after_s)
        return reply

    def _ask(self, method: str, path: str, data: dict | None = None) -> Reply:
        """No answer, or half of one, is "offline"; never a success."""
        began = time.monotonic()
        try:
            reply = self._answer(method, path, data)
        except (OSError, http.client.HTTPException) as error:
            raise Ended("offline") from error
        finally:
            self.seconds.append(time.monotonic() - began)
        self.statuses.append(reply.status)
        return reply

    def _answer(self, method: str, path: str, data: dict | None) -> Reply:
        place = urlsplit(self.url)
        line = http.client.HTTPConnection(place.hostname, place.port, timeout=self.timeout_s)
        headers = {"Cookie": f"phone={self.token}", "X-Boutwise": "1", "Connection": "close"}
        if data is not None:
            headers["Content-Type"] = "application/json"
        try:
            line.request(method, f"/api/v1/{path}", data and json.dumps(data).encode(), headers)
            got = line.getresponse()
            text = got.read()
        finally:
            line.close()
        kind = (got.getheader("Content-Type") or "").split(";")[0].strip()
        return Reply(got.status, kind, _parsed(text), _seconds(got.getheader("Retry-After")))


def _verdict(reply: Reply) -> str:
    code = reply.body.get("code") if isinstance(reply.body, dict) else None
    if reply.status == 401:
        return str(code or "no_sense")
    return "busy" if reply.status in {429, 503} else "no_sense"


def _parsed(text: bytes) -> object:
    try:
        return json.loads(text)
    except ValueError:
        return None


def _seconds(header: str | None) -> float | None:
    """Both forms of Retry-After; None when senseless."""
    if not header:
        return None
    if header.isascii() and header.isdigit():
        return float(header)
    try:
        seconds = (parsedate_to_datetime(header) - datetime.now(tz=UTC)).total_seconds()
    except (TypeError, ValueError):
        return None
    return seconds if seconds >= 0 else None
