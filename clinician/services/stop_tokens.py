"""The key in every message that ends reminders: sealed, unguessable, of that message alone."""

from hmac import compare_digest
from uuid import UUID

from django.conf import settings
from django.core import signing
from django.utils.crypto import salted_hmac

from clinician.models import Reminder
from homeprogram.calc.base64url import packed, unpacked

SALT = "reminder-stop"
ID_BYTES = 16
SEAL_BYTES = 16  # RFC 2104 5: no less than half of the hash


def stop_token(reminder: Reminder) -> str:
    """It names a message, not a person, and does not grow old: an old message must stop too.

    Short: with the words before it, it has to fit into one text message.
    """
    return packed(reminder.id.bytes + _seal(reminder.id.bytes, settings.SECRET_KEY))


def reminder_of_token(token: str) -> Reminder | None:
    try:
        reminder_id = _signed(token) if ":" in token else _sealed(token)
    except (signing.BadSignature, ValueError):
        return None
    return (
        Reminder.objects.select_related("patient__reminder_setting").filter(id=reminder_id).first()
    )


def _sealed(token: str) -> UUID:
    told = unpacked(token)
    id_bytes, seal = told[:ID_BYTES], told[ID_BYTES:]
    secrets = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    if not any(compare_digest(seal, _seal(id_bytes, secret)) for secret in secrets):
        raise ValueError("not ours")
    return UUID(bytes=id_bytes)


def _seal(id_bytes: bytes, secret: str) -> bytes:
    return salted_hmac(SALT, id_bytes, secret=secret, algorithm="sha256").digest()[:SEAL_BYTES]


def _signed(token: str) -> UUID:
    """The longer form of messages up to 0.3."""
    return UUID(bytes=unpacked(signing.Signer(salt=SALT).unsign(token)))
