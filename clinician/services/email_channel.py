"""Reminders by e-mail: plain text and HTML, stopped with one click (RFC 8058)."""

import smtplib
from datetime import datetime

from django.conf import settings
from django.core.mail import EmailMultiAlternatives, get_connection
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext

from clinician.models import ReminderSetting
from clinician.services.channels import Delivered, Delivery, Message

TEMPORARY = range(400, 500)  # RFC 5321 4.2.1: the same may work later


class EmailChannel:
    def reaches(self, setting: ReminderSetting) -> bool:
        return bool(setting.email)

    def send(self, setting: ReminderSetting, message: Message, now: datetime) -> Delivered:
        mail = email_of(message, setting.email)
        connection = get_connection()
        try:
            connection.open()
        except smtplib.SMTPResponseException as error:
            return Delivered(Delivery.LATER, f"smtp_{error.smtp_code}", 300)
        except (smtplib.SMTPException, OSError) as error:
            return Delivered(Delivery.LATER, type(error).__name__, 300)
        try:
            connection.send_messages([mail])
        except smtplib.SMTPRecipientsRefused as error:
            code = next(iter(error.recipients.values()))[0]
            return _answered(code)
        except smtplib.SMTPResponseException as error:
            return _answered(error.smtp_code)
        finally:
            connection.close()
        return Delivered(Delivery.SENT)


def _answered(code: int) -> Delivered:
    """The server said no to it, so it has not got it."""
    delivery = Delivery.LATER if code in TEMPORARY else Delivery.REFUSED
    return Delivered(delivery, f"smtp_{code}", 300)


def email_of(message: Message, to: str) -> EmailMultiAlternatives:
    with translation.override(message.language):
        words = {
            "title": gettext("reminder.title"),
            "says": gettext(f"reminder.{message.wording}"),
            "open": gettext("reminder.open"),
            "no_answer": gettext("reminder.no_answer"),
            "stop": gettext("reminder.stop"),
        }
    given = words | {
        "language": message.language,
        "open_url": message.open_url,
        "stop_url": message.stop_url,
    }
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
            "Message-ID": f"<{message.id}@{settings.REMINDER_FROM.rpartition('@')[2].strip('>')}>",
        },
    )
    mail.attach_alternative(render_to_string("clinician/mail/reminder.html", given), "text/html")
    return mail
