"""Everything between phone and clinic that can go wrong, drawn from the seed."""

import hashlib
import json
import random
from collections import Counter
from collections.abc import Callable

RECEIPT = "application/vnd.boutwise.receipt+json"
PORTAL = "<html><body>Welcome to our Wi-Fi. Accept the terms.</body></html>"
ODD_WAITS = ("-5", "0", "3", "20", "315360000", "Wed, 21 Oct 2015 07:28:00 GMT", "soon", "")
LATE_MS = 5_400_000  # how much later the second copy of a request may come
REQUEST = ("lost", "lost_silently", "doubled", "late_copy", "db_error", "flipped")
REPLY = ("reply_lost", "reply_hangs", "reply_cut", "reply_short", "slow")
INSTEAD = (
    "portal", "portal_json", "empty", "redirect", "login_511", "gateway_401",
    "error_500", "busy_503", "too_large_413", "too_many_429", "bad_gateway_502",
)  # fmt: skip
FORGED = ("forged_nonce", "forged_log", "forged_hash", "forged_id", "forged_type")
FAULTS = (*REQUEST, *REPLY, *INSTEAD, *FORGED)


def plain(status: int, text: str = "", kind: str = "text/html", **headers: str) -> dict:
    return {"status": status, "headers": {"Content-Type": kind} | headers, "text": text}


class Network:
    """Hands requests to the server and answers back, or not. `rate` = share that goes wrong."""

    def __init__(self, rng: random.Random, serve: Callable[..., dict], rate: float) -> None:
        self.rng, self._serve, self.rate = rng, serve, rate
        self.offline: set[str] = set()
        self.most_bytes: int | None = None  # a proxy that lets no larger body pass
        self.faults: Counter[str] = Counter()
        self.favoured: list[str] = []  # faults that every second one is of
        self.late: list[dict] = []
        self.requests = 0
        # What became of entries that were damaged on their way: hashes by the true one.
        self.flipped: dict[str, set[str]] = {}

    def calm(self) -> None:
        self.rate, self.offline, self.most_bytes, self.late = 0, set(), None, []

    def answer(self, asked: dict) -> dict:
        """What the phone gets: {outcome, delay_ms, reply}."""
        self.requests += 1
        delay = self.rng.randint(5, 400)
        if asked["phone"] in self.offline:
            self.faults["offline"] += 1
            return {"outcome": "error", "delay_ms": delay}
        if self.most_bytes and len(asked["body"] or "") > self.most_bytes:
            self.faults["proxy_413"] += 1
            return self._reply(plain(413), delay)
        if self.rng.random() >= self.rate:
            return self._reply(self._serve(asked), delay)
        of = self.favoured if self.favoured and self.rng.random() < 0.5 else None
        fault = self.rng.choice(of or self.rng.choice((REQUEST, REPLY, INSTEAD, FORGED)))
        self.faults[fault] += 1
        return getattr(self, f"_{fault}", self._instead)(asked, delay, fault)

    def deliver_late(self, now_ms: int) -> None:
        """The second copies that some proxy sends on long after the first."""
        due = [one for one in self.late if one["due_ms"] <= now_ms]
        self.late = [one for one in self.late if one["due_ms"] > now_ms]
        for one in due:
            self._serve(one["asked"], reaches=False)

    @staticmethod
    def _reply(answer: dict, delay: int, **more: object) -> dict:
        reply = {key: answer[key] for key in ("status", "headers", "text")}
        return {"outcome": "reply", "delay_ms": delay, "reply": reply | more}

    # --- the request ------------------------------------------------------------

    def _lost(self, asked: dict, delay: int, _: str) -> dict:
        return {"outcome": "error", "delay_ms": delay}

    def _lost_silently(self, asked: dict, delay: int, _: str) -> dict:
        return {"outcome": "hang", "delay_ms": 0}

    def _doubled(self, asked: dict, delay: int, _: str) -> dict:
        answers = [self._serve(asked), self._serve(asked)]
        return self._reply(self.rng.choice(answers), delay)

    def _late_copy(self, asked: dict, delay: int, _: str) -> dict:
        due = asked["at_ms"] + self.rng.randint(1, LATE_MS)
        self.late.append({"due_ms": due, "asked": asked})
        return self._reply(self._serve(asked), delay)

    def _db_error(self, asked: dict, delay: int, _: str) -> dict:
        return self._reply(self._serve(asked, fail_at=self.rng.randint(1, 40)), delay)

    def _flipped(self, asked: dict, delay: int, _: str) -> dict:
        """One bit of one entry's text changes on the way."""
        message = json.loads(asked["body"]) if asked["body"] else {}
        entries = message.get("entries") or []
        if not entries:
            return self._reply(self._serve(asked), delay)
        one = self.rng.choice(entries)
        text = one["body"]
        at = self.rng.randrange(len(text))
        one["body"] = text = text[:at] + chr(ord(text[at]) ^ 1) + text[at + 1 :]
        became = hashlib.sha256(text.encode(errors="surrogatepass")).hexdigest()
        self.flipped.setdefault(one["sha256"], set()).add(became)
        return self._reply(self._serve(asked | {"body": json.dumps(message)}), delay)

    # --- the reply --------------------------------------------------------------

    def _reply_lost(self, asked: dict, delay: int, _: str) -> dict:
        self._serve(asked, reaches=False)
        return {"outcome": "error", "delay_ms": delay}

    def _reply_hangs(self, asked: dict, delay: int, _: str) -> dict:
        self._serve(asked, reaches=False)
        return {"outcome": "hang", "delay_ms": 0}

    def _reply_cut(self, asked: dict, delay: int, _: str) -> dict:
        return self._reply(self._serve(asked, reaches=False), delay, cut=True)

    def _reply_short(self, asked: dict, delay: int, _: str) -> dict:
        answer = self._serve(asked)
        text = answer["text"]
        return self._reply(answer | {"text": text[: self.rng.randrange(len(text) + 1)]}, delay)

    def _slow(self, asked: dict, delay: int, _: str) -> dict:
        return self._reply(self._serve(asked), self.rng.randint(2_000, 20_000))

    # --- somebody else answers ------------------------------------------------------

    def _instead(self, asked: dict, delay: int, fault: str) -> dict:
        if fault == "redirect":  # the app follows none
            return {"outcome": "error", "delay_ms": delay}
        if fault.startswith("forged"):
            return self._forged(asked, delay, fault.removeprefix("forged_"))
        wait = {"Retry-After": self.rng.choice(ODD_WAITS)}
        made = {
            "portal": plain(200, PORTAL),
            "portal_json": plain(200, '{"ok": true, "state": "active"}', "application/json"),
            "empty": plain(200, "", "text/plain"),
            "login_511": plain(511, PORTAL),
            "gateway_401": plain(401, '{"code": "no_sense"}', "application/json"),
            "error_500": plain(500, "oops"),
            "busy_503": plain(503, "", **wait),
            "too_large_413": plain(413, ""),
            "too_many_429": plain(429, "{}", "application/json", **wait),
            "bad_gateway_502": plain(502, "upstream"),
        }
        return self._reply(made[fault], delay)

    def _forged(self, asked: dict, delay: int, what: str) -> dict:
        """Looks like our receipt and is not: another request's, another log's, another entry's."""
        message = json.loads(asked["body"]) if asked["body"] else {}
        if "nonce" not in message:
            return self._reply(plain(200, PORTAL), delay)
        receipts = [
            {
                "id": _id_of(one["body"]), "outcome": "stored", "version": 1,
                "sha256": hashlib.sha256(b"x").hexdigest() if what == "hash" else one["sha256"],
            }
            for one in message["entries"]
        ]  # fmt: skip
        if what == "id":
            for one in receipts:
                one["id"] = "0190a000-0000-7000-8000-00000000ffff"
        another = "0190a000-dead-7000-8000-000000000000"
        body = {
            "log_identity": another if what == "log" else self.log_identity(),
            "nonce": message["nonce"] if what != "nonce" else "n-of-somebody-else",
            "receipts": receipts, "high": message["high"], "gaps": [],
            "server_ms": asked["at_ms"], "limits": {}, "retry_after_s": None,
        }  # fmt: skip
        kind = "application/json" if what == "type" else RECEIPT
        return self._reply(plain(200, json.dumps(body), kind), delay)

    log_identity: Callable[[], str] = staticmethod(lambda: "")


def _id_of(body: str) -> str | None:
    try:
        return json.loads(body).get("id")
    except ValueError:
        return None
