"""The clinic's key pair for Web Push (RFC 8292): who sends is told by it, and nobody else can.

Made once and kept in the var folder; several machines share one through a setting.
Phones subscribe to the public half, so another pair asks every phone to subscribe anew.
"""

import os
import tempfile
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from django.conf import settings

from homeprogram.calc.base64url import packed, unpacked
from homeprogram.errors import RuleBroken

KEY_BYTES = 32
POINT_BYTES = 65
SECRET_BYTES = 16


def can_push() -> bool:
    """Web Push is an extra: without it the server starts, and phones hear that it sends none."""
    return find_spec("pywebpush") is not None


def private_key() -> str:
    """32 bytes in base64url."""
    if settings.PUSH_KEY:
        return settings.PUSH_KEY
    path = settings.VAR / "push-key"
    if not path.exists():
        _keep(path, _new_key())
    return path.read_text()


def public_key() -> str | None:
    """The point a browser asks for, in base64url; None where nothing can be sent."""
    return _public_of(private_key()) if can_push() else None


def phone_keys_check(*, p256dh: str, auth: str) -> None:
    """A point of the curve and a secret of 16 bytes, or nothing can be encrypted for the phone."""
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415  comes with the extra

    try:
        point, secret = unpacked(p256dh), unpacked(auth)
        if len(point) != POINT_BYTES or len(secret) != SECRET_BYTES:
            raise ValueError("wrong length")
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
    except ValueError:
        raise RuleBroken("These are no keys of a browser.", code="keys_unusable") from None


def _new_key() -> str:
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    number = ec.generate_private_key(ec.SECP256R1()).private_numbers().private_value
    return packed(number.to_bytes(KEY_BYTES))


def _keep(path: Path, key: str) -> None:
    """Whole or not at all, and the first of several processes decides."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, draft = tempfile.mkstemp(dir=path.parent)  # readable by this user alone
    with os.fdopen(handle, "w") as file:
        file.write(key)
    try:
        os.link(draft, path)
    except FileExistsError:
        pass  # another one was first
    finally:
        Path(draft).unlink()


@lru_cache(maxsize=4)
def _public_of(private: str) -> str:
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415
    from cryptography.hazmat.primitives.serialization import (  # noqa: PLC0415
        Encoding,
        PublicFormat,
    )

    key = ec.derive_private_key(int.from_bytes(unpacked(private)), ec.SECP256R1())
    return packed(key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint))
