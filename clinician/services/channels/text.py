"""Text messages through whatever HTTP gateway the operator has; off until one is named.

One JSON object to one address. An answer's body is never read: gateways differ, and
some repeat the number or the words in it.
"""

import json
import logging
import re
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.utils import translation

from clinician.services.channels.outcome import Outcome
from clinician.services.channels.retry import later
from clinician.services.channels.wire import NotReached, Unanswered, Wire
from homeprogram.calc.reminders import Wording

NUMBER = re.compile(r"\+?\d{6,15}")  # E.164 has at most 15 digits
SPELLED = re.compile(r"[\s().\-/]")
BUSY = {408, 425, 429}

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class TextTo:
    """Whom a text message goes to. `stop_url` ends all reminders, without a sign-in."""

    number: str
    language: str
    stop_url: str
    wording: Wording = Wording.NOTHING_LOGGED


@dataclass(frozen=True, slots=True)
class TextChannel:
    wire: Wire = field(default_factory=lambda: Wire(public_only=False))

    def available(self) -> bool:
        return bool(settings.TEXT_URL)

    def send(self, *, to: TextTo, message_id: UUID, until: datetime, now: datetime) -> Outcome:
        """One try; one that was not answered may have gone, and a second would double it."""
        if not self.available():
            return Outcome.failed("text_off")
        if now >= until:
            return Outcome.failed("too_late")
        number = SPELLED.sub("", to.number)
        if not NUMBER.fullmatch(number):
            return Outcome.failed("no_number")
        told = dict(zip(settings.TEXT_FIELDS, (number, words_of(to), str(message_id)), strict=True))
        try:
            reply = self.wire.post(
                settings.TEXT_URL,
                headers=_headers(message_id),
                body=json.dumps(told, ensure_ascii=False).encode(),
            )
        except NotReached as error:
            return later(None, error.why, until=until, now=now)
        except Unanswered:
            return Outcome.failed("no_answer")
        if 200 <= reply.status < 300:
            return Outcome.sent()
        if reply.status in BUSY or reply.status >= 500:
            return later(reply.retry_after, "busy", until=until, now=now)
        log.error("the gateway for text messages answered %s", reply.status)
        return Outcome.failed("refused")

    def settle(self, *, to: TextTo, outcome: Outcome, now: datetime) -> None:
        """A number is the clinic's to change; nothing is forgotten here."""


def words_of(to: TextTo) -> str:
    """The same for every patient: no name, no clinic, nothing of health."""
    with translation.override(to.language):
        return translation.gettext(f"text.{to.wording}").format(url=to.stop_url)


def _headers(message_id: UUID) -> dict[str, str]:
    """The gateway's own header holds its secret; the key lets it drop a second try."""
    name, _, value = settings.TEXT_HEADER.partition(":")
    own = {name.strip(): value.strip()} if value else {}
    return own | {"Content-Type": "application/json", "Idempotency-Key": str(message_id)}
