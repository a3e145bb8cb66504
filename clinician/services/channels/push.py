"""Web Push: one encrypted message of one size to a browser's push service.

RFC 8030 (delivery), 8291 (encryption), 8292 (who sends). The message holds an id that
says nothing, and a letter for which words; the phone's worker has them.
"""

import logging
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from email.utils import parseaddr
from urllib.parse import urlsplit
from uuid import UUID

from django.conf import settings
from django.utils.crypto import salted_hmac

from clinician.services.channels.outcome import Outcome, Result
from clinician.services.channels.retry import is_busy, later
from clinician.services.channels.route import Route
from clinician.services.channels.wire import NotReached, Reply, Unanswered, Wire
from homeprogram.calc.base64url import packed
from homeprogram.calc.endpoint import endpoint_fault
from homeprogram.calc.reminders import LETTER_OF, Wording
from homeprogram.models import PushSubscription
from homeprogram.selectors.subscriptions import live_subscriptions
from homeprogram.services.push_keys import can_push, private_key
from homeprogram.services.subscriptions import (
    subscription_failed,
    subscription_gone,
    subscription_taken,
)

TOKEN_GOOD_FOR = timedelta(hours=12)  # RFC 8292 allows 24
TOPIC_BYTES = 24  # 32 characters, the most RFC 8030 allows
TAKEN = {200, 201, 202, 204}
# 404 by RFC 8030 7.3; services also say 410 (common practice, no source).
FORGOTTEN = {404, 410}
# Ours to mend: a message that is malformed or too large, a key that is not accepted.
OUR_FAULT = {400: "malformed", 401: "key_refused", 403: "key_refused", 413: "too_large"}

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Notice:
    phone: PushSubscription
    wording: str


@dataclass(frozen=True, slots=True)
class PushChannel:
    wire: Wire = field(default_factory=Wire)

    def send(self, *, to: Notice, message_id: UUID, until: datetime, now: datetime) -> Outcome:
        """One try. Sent twice, the second takes the place of the first, on the way and shown."""
        if not can_push():
            return Outcome.failed("push_off")
        seconds = int((until - now).total_seconds())
        if seconds <= 0:
            return Outcome.failed("too_late")
        phone = to.phone
        # The list may have changed since the phone told us.
        if endpoint_fault(phone.endpoint, settings.PUSH_HOSTS):
            return Outcome.failed("endpoint_refused")
        try:
            body = encrypted(
                payload_of(message_id, to.wording), p256dh=phone.p256dh, auth=phone.auth
            )
            reply = self.wire.post(
                phone.endpoint, headers=headers_for(phone, seconds=seconds, now=now), body=body
            )
        except NotReached as error:
            return _unreached(phone, error.why, until=until, now=now)
        except Unanswered:
            return Outcome.unknown("no_answer")
        return _outcome(phone, reply, until=until, now=now)

    def settle(self, *, to: Notice, outcome: Outcome, now: datetime) -> None:
        if outcome.result is Result.SENT:
            subscription_taken(subscription=to.phone, now=now)
        elif outcome.result is Result.GONE:
            subscription_gone(subscription=to.phone, now=now)
        else:
            subscription_failed(subscription=to.phone, why=outcome.why)


# Every phone of a patient that takes notices.
PUSH = Route(
    PushChannel(),
    reaches=lambda setting: setting.rings,
    addresses=lambda setting, message: [
        Notice(phone, message.wording)
        for phone in live_subscriptions(patient_id=setting.patient_id)
    ],
)


def payload_of(message_id: UUID, wording: str) -> bytes:
    return f"{message_id.hex}{LETTER_OF[Wording(wording)]}".encode()


def encrypted(message: bytes, *, p256dh: str, auth: str) -> bytes:
    """aes128gcm in one record; every message has the same length, so this has too."""
    from pywebpush import WebPusher  # noqa: PLC0415  an extra, and slow to import

    told = {"endpoint": "", "keys": {"p256dh": p256dh, "auth": auth}}
    return WebPusher(told).encode(message, "aes128gcm")["body"]


def headers_for(to: PushSubscription, *, seconds: int, now: datetime) -> dict[str, str]:
    return {
        "Authorization": authorization(to.endpoint, now=now),
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(seconds),
        "Topic": topic_of(to),
        "Urgency": "normal",
    }


def authorization(endpoint: str, *, now: datetime) -> str:
    """A token for this push service alone, signed with the clinic's key."""
    from py_vapid import Vapid02  # noqa: PLC0415

    claims = {
        "aud": f"https://{urlsplit(endpoint).hostname}",
        "exp": int((now + TOKEN_GOOD_FOR).timestamp()),
        "sub": f"mailto:{parseaddr(settings.DEFAULT_FROM_EMAIL)[1]}",
    }
    return Vapid02.from_string(private_key()).sign(claims)["Authorization"]


def topic_of(to: PushSubscription) -> str:
    """A newer reminder takes the place of one that waits; tells nobody whose it is."""
    return packed(salted_hmac("push-topic", str(to.id), algorithm="sha256").digest()[:TOPIC_BYTES])


def _outcome(to: PushSubscription, reply: Reply, *, until: datetime, now: datetime) -> Outcome:
    status = reply.status
    if status in TAKEN:
        return Outcome.sent()
    if status in FORGOTTEN:
        return Outcome.gone("unknown_there")
    if is_busy(status):
        return later(reply.retry_after, "busy", until=until, now=now)
    why = OUR_FAULT.get(status, "redirected" if 300 <= status < 400 else "refused")
    log.error("push service %s answered %s: %s", urlsplit(to.endpoint).hostname, status, why)
    return Outcome.failed(why)


def _unreached(to: PushSubscription, why: str, *, until: datetime, now: datetime) -> Outcome:
    if why == "not_public":
        log.error("push service %s has an address that is not public", to.id)
        return Outcome.failed(why)
    return later(None, why, until=until, now=now)
