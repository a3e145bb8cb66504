"""The key in every message that ends reminders: signed, unguessable, of that message alone."""

from uuid import UUID

from django.core import signing

from clinician.models import Reminder

SALT = "reminder-stop"


def stop_token(reminder: Reminder) -> str:
    """It names a message, not a person, and does not grow old: an old message must stop too."""
    return signing.Signer(salt=SALT).sign(reminder.id.hex)


def reminder_of_token(token: str) -> Reminder | None:
    try:
        reminder_id = UUID(hex=signing.Signer(salt=SALT).unsign(token))
    except (signing.BadSignature, ValueError):
        return None
    return (
        Reminder.objects.select_related("patient__reminder_setting").filter(id=reminder_id).first()
    )
