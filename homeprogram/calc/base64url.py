"""Bytes in the letters of RFC 4648, section 5, without padding."""

import base64


def packed(data: bytes) -> str:
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def unpacked(text: str) -> bytes:
    """ValueError when it is none."""
    plain = text.rstrip("=")
    return base64.b64decode(plain + "=" * (-len(plain) % 4), altchars=b"-_", validate=True)
