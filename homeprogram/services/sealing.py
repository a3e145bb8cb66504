"""What a stolen copy of the record must not show, under a key that is not in the record.

AES-256-GCM (NIST SP 800-38D) under a key drawn by HKDF (RFC 5869) from the server's
secret key. Whoever changes that key names the old one, or nothing sealed opens again.
"""

import os
from collections.abc import Iterator

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings

from homeprogram.errors import RuleBroken

KEY_BYTES = 32
NONCE_BYTES = 12
FORM = b"\x01"  # of what stands before the sealed bytes


def seal(plain: bytes, *, about: str, purpose: str) -> bytes:
    """Opens again only with the same `about` (which row it is) and `purpose` (which column)."""
    nonce = os.urandom(NONCE_BYTES)
    return FORM + nonce + _box(settings.SECRET_KEY, purpose).encrypt(nonce, plain, about.encode())


def unseal(sealed: bytes, *, about: str, purpose: str) -> bytes:
    """Raises RuleBroken when it was sealed under another key or about something else."""
    form, nonce, rest = sealed[:1], sealed[1 : 1 + NONCE_BYTES], sealed[1 + NONCE_BYTES :]
    if form == FORM:
        for secret in _secrets():
            try:
                return _box(secret, purpose).decrypt(nonce, rest, about.encode())
            except InvalidTag:
                continue
    message = "This was sealed under another secret key. Name that key as an old one."
    raise RuleBroken(message, code="sealed_otherwise")


def _secrets() -> Iterator[str]:
    yield settings.SECRET_KEY
    yield from settings.SECRET_KEY_FALLBACKS


def _box(secret: str, purpose: str) -> AESGCM:
    drawn = HKDF(SHA256(), KEY_BYTES, salt=None, info=f"boutwise {purpose}".encode())
    return AESGCM(drawn.derive(secret.encode()))
