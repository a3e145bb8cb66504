"""Text messages through whatever HTTP gateway the operator has; off until one is named.

One JSON object to one address. An answer's body is never read: gateways differ, and
some repeat the number or the words in it.
"""

import json
import logging
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.utils import translation

from clinician.services.channels.outcome import Outcome
from clinician.services.channels.retry import is_busy, later
from clinician.services.channels.route import Message, Route
from clinician.services.channels.wire import NotReached, Unanswered, Wire

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Text:
    number: str  # E.164
    message: Message


@dataclass(frozen=True, slots=True)
class TextChannel:
    wire: Wire = field(default_factory=lambda: Wire(public_only=False))

    def send(self, *, to: Text, message_id: UUID, until: datetime, now: datetime) -> Outcome:
        """One try; one that was not answered may have gone, and a second would double it."""
        if now >= until:
            return Outcome.failed("too_late")
        told = (to.number, words_of(to.message), str(message_id))
        try:
            reply = self.wire.post(
                settings.TEXT_URL,
                headers=_headers(message_id),
                body=json.dumps(dict(zip(settings.TEXT_FIELDS, told, strict=True))).encode(),
            )
        except NotReached as error:
            return later(None, error.why, until=until, now=now)
        except Unanswered:
            return Outcome.unknown("no_answer")
        if 200 <= reply.status < 300:
            return Outcome.sent()
        if is_busy(reply.status):
            return later(reply.retry_after, "busy", until=until, now=now)
        log.error("the gateway for text messages answered %s", reply.status)
        return Outcome.failed("refused")

    def settle(self, *, to: Text, outcome: Outcome, now: datetime) -> None:
        """A number is the clinic's to change; nothing is forgotten here."""


TEXT = Route(
    TextChannel(),
    reaches=lambda setting: bool(setting.mobile),
    addresses=lambda setting, message: [Text(setting.mobile, message)],
)


def words_of(message: Message) -> str:
    """The same for every patient: no name, no clinic, nothing of health."""
    key = f"text.{message.wording}" + "_closed" * message.closed
    with translation.override(message.language):
        return translation.gettext(key).format(url=message.stop_url)


def _headers(message_id: UUID) -> dict[str, str]:
    """The gateway's own header holds its secret; the key lets it drop a second try."""
    name, _, value = settings.TEXT_HEADER.partition(":")
    own = {name.strip(): value.strip()} if value else {}
    return own | {"Content-Type": "application/json", "Idempotency-Key": str(message_id)}
