"""The code a clinician reads out after a lift, for a phone without a network.

It says nothing but "these holds, on this phone": a MAC over the entries that
raised them, under a secret of the phone. So it fits no later hold and no other
phone, and needs no list of used codes. Shared cases: fixtures/rules/release.json.
"""

import hashlib
import hmac
import secrets
from collections.abc import Iterable

DIGITS = 8  # spoken digits are heard well; five guesses of a hundred million are none
NAMED = "boutwise release 1"


def new_key() -> str:
    return secrets.token_hex(32)


def release_code(key: str, entry_ids: Iterable[str]) -> str:
    """Eight digits for exactly these entries, in whatever order they are named."""
    message = "\n".join([NAMED, *sorted(entry_ids)])
    mac = hmac.new(bytes.fromhex(key), message.encode(), hashlib.sha256).digest()
    return f"{int.from_bytes(mac[:8], 'big') % 10**DIGITS:0{DIGITS}}"


def grouped(code: str) -> str:
    """As it is read out and typed."""
    half = DIGITS // 2
    return f"{code[:half]} {code[half:]}"
