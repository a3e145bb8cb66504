"""The key in every message that ends reminders: signed, unguessable, of that message alone."""

from uuid import UUID

from django.core import signing

from clinician.models import Reminder
from homeprogram.calc.base64url import packed, unpacked

SALT = "reminder-stop"


def stop_token(reminder: Reminder) -> str:
    """It names a message, not a person, and does not grow old: an old message must stop too."""
    return signing.Signer(salt=SALT).sign(packed(reminder.id.bytes))


def reminder_of_token(token: str) -> Reminder | None:
    try:
        reminder_id = UUID(bytes=unpacked(signing.Signer(salt=SALT).unsign(token)))
    except (signing.BadSignature, ValueError):
        return None
    return (
        Reminder.objects.select_related("patient__reminder_setting").filter(id=reminder_id).first()
    )
