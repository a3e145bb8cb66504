"""What is sealed opens with the right key about the right thing, and otherwise not."""

import hashlib
import hmac

import pytest
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.errors import RuleBroken
from homeprogram.services.sealing import seal, unseal

ABOUT, PURPOSE = "patient photo", "skin photo"
SKIN = b"a red spot"


@pytest.fixture(autouse=True)
def secret(settings):
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "first", []


def opened(sealed: bytes, *, about: str = ABOUT, purpose: str = PURPOSE) -> bytes:
    return unseal(sealed, about=about, purpose=purpose)


@given(plain=st.binary(max_size=2_000))
def test_it_opens_as_it_was(plain):
    assert opened(seal(plain, about=ABOUT, purpose=PURPOSE)) == plain


def test_the_same_twice_looks_different():
    assert len({seal(SKIN, about=ABOUT, purpose=PURPOSE) for _ in range(50)}) == 50


def test_its_key_is_drawn_as_rfc_5869_says():
    """Extract and expand by hand: HMAC with a salt of zeros, then one block with its number."""
    extracted = hmac.digest(bytes(32), b"first", hashlib.sha256)
    key = hmac.digest(extracted, b"boutwise skin photo\x01", hashlib.sha256)
    sealed = seal(SKIN, about=ABOUT, purpose=PURPOSE)

    assert AESGCM(key).decrypt(sealed[1:13], sealed[13:], ABOUT.encode()) == SKIN


@pytest.mark.parametrize(
    "otherwise", [{"about": "patient other"}, {"purpose": "letter"}], ids=["row", "column"]
)
def test_put_in_another_place_it_does_not_open(otherwise):
    sealed = seal(SKIN, about=ABOUT, purpose=PURPOSE)

    with pytest.raises(RuleBroken, match="another secret key"):
        opened(sealed, **otherwise)


@given(place=st.integers(0, 38), flipped=st.integers(1, 255))
def test_one_changed_byte_keeps_it_shut(place, flipped):
    sealed = bytearray(seal(SKIN, about=ABOUT, purpose=PURPOSE))
    sealed[place] ^= flipped

    with pytest.raises(RuleBroken):
        opened(bytes(sealed))


def test_under_a_new_key_the_old_one_still_opens_it(settings):
    sealed = seal(SKIN, about=ABOUT, purpose=PURPOSE)
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "third", ["second", "first"]

    assert opened(sealed) == SKIN


def test_without_its_key_nobody_opens_it(settings):
    sealed = seal(SKIN, about=ABOUT, purpose=PURPOSE)
    settings.SECRET_KEY = "second"

    with pytest.raises(RuleBroken):
        opened(sealed)
