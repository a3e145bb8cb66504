"""Reminders by e-mail: plain text and HTML, stopped with one click (RFC 8058)."""

import smtplib
from dataclasses import dataclass
from datetime import datetime, timedelta
from email.utils import parseaddr
from uuid import UUID

from django.conf import settings
from django.core.mail import EmailMultiAlternatives, get_connection
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext

from clinician.services.channels.outcome import Outcome
from clinician.services.channels.route import Message, Route

TEMPORARY = range(400, 500)  # RFC 5321 4.2.1: the same may work later
WAIT = timedelta(minutes=5)


@dataclass(frozen=True, slots=True)
class Letter:
    to: str
    message: Message


class EmailChannel:
    def send(self, *, to: Letter, message_id: UUID, until: datetime, now: datetime) -> Outcome:
        if now >= until:
            return Outcome.failed("too_late")
        connection = get_connection()
        try:
            connection.open()
        except smtplib.SMTPResponseException as error:
            return Outcome.later(now + WAIT, f"smtp_{error.smtp_code}")
        except (smtplib.SMTPException, OSError) as error:
            return Outcome.later(now + WAIT, type(error).__name__)
        try:
            connection.send_messages([email_of(to.message, to.to)])
        except smtplib.SMTPRecipientsRefused as error:
            code, _ = next(iter(error.recipients.values()))
            return _refused(code, now)
        except smtplib.SMTPResponseException as error:
            return _refused(error.smtp_code, now)
        except (smtplib.SMTPException, OSError) as error:
            return Outcome.unknown(type(error).__name__)  # cut off: perhaps after it was taken
        finally:
            connection.close()
        return Outcome.sent()

    def settle(self, *, to: Letter, outcome: Outcome, now: datetime) -> None:
        """An address stays as the desk wrote it; the patient page says what failed."""


EMAIL = Route(
    EmailChannel(),
    reaches=lambda setting: bool(setting.email),
    addresses=lambda setting, message: [Letter(setting.email, message)],
)


def _refused(code: int, now: datetime) -> Outcome:
    """The server said no to it, so it has not got it."""
    why = f"smtp_{code}"
    return Outcome.later(now + WAIT, why) if code in TEMPORARY else Outcome.failed(why)


def email_of(message: Message, to: str) -> EmailMultiAlternatives:
    with translation.override(message.language):
        words = {
            "title": gettext("message.title"),
            "says": gettext(f"message.{message.wording}"),
            "closed": gettext("message.closed") if message.closed else "",
            "open": gettext("message.open"),
            "no_answer": gettext("message.no_answer"),
            "stop": gettext("message.stop"),
        }
    given = words | {
        "language": message.language,
        "open_url": message.open_url,
        "stop_url": message.stop_url,
    }
    domain = parseaddr(settings.REMINDER_FROM)[1].rpartition("@")[2]
    mail = EmailMultiAlternatives(
        words["title"],
        render_to_string("clinician/mail/reminder.txt", given),
        settings.REMINDER_FROM,
        [to],
        headers={
            "List-Unsubscribe": f"<{message.stop_url}>",
            "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
            "Auto-Submitted": "auto-generated",  # RFC 3834: no robot answers it
            # The same at every try, so that a mail server can drop a repeat.
            "Message-ID": f"<{message.id}@{domain}>",
        },
    )
    mail.attach_alternative(render_to_string("clinician/mail/reminder.html", given), "text/html")
    return mail
