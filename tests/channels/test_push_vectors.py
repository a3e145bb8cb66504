"""The examples printed in the standards, byte for byte, through the libraries we send with."""

import base64
import json

import http_ece
import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

# RFC 8291, section 5 and appendix A.
WORDS = b"When I grow up, I want to be a watermelon"
RECEIVER_PUBLIC = (
    "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
)
RECEIVER_PRIVATE = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
SENDER_PRIVATE = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
SENDER_PUBLIC = (
    "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8"
)
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"
SALT = "DGv6ra1nlYgDCS1FRnbzlw"
BODY = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS"
    "6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qul"
    "cy4a-fN"
)
# RFC 8188, 3.1 (one record) and 3.2 (records of 25 bytes, padded; from memory).
WALRUS = b"I am the walrus"
ONE_KEY, ONE_SALT = "yqdlZ-tYemfogSmv7Ws5PQ", "I1BsxtFttlv3u_Oo94xnmw"
ONE_BODY = "I1BsxtFttlv3u_Oo94xnmwAAEAAA-NAVub2qFgBEuQKRapoZu-IxkIva3MEB1PD-ly8Thjg"
TWO_KEY = "BO3ZVPxUlnLORbVGMpbT1Q"
TWO_BODY = (
    "uNCkWiNYzKTnBN9ji3-qWAAAABkCYTHOG8chz_gnvgOqdGYovxyjuqRyJFjEDyoF1Fvkj6hQPdPHI51OEUKEpgz3SsLWI"
    "qS_uA"
)
# RFC 8292, 2.4.
VAPID_KEY = (
    "BA1Hxzyi1RUM1b5wjxsn7nGxAszw2u61m164i3MrAIxHF6YK5h4SDYic-dRuU_RCPCfA5aq9ojSwk5Y2EmClBPs"
)
VAPID_HEAD = '{"typ":"JWT","alg":"ES256"}'
VAPID_CLAIMS = '{"aud":"https://push.example.net","exp":1453523768,"sub":"mailto:push@example.com"}'
VAPID_SIGNATURE = (
    "i3CYb7t4xfxCDquptFOepC9GAu_HLGkMlMuCGSK2rpiUfnK9ojFwDXb1JrErtmysazNjjvW2L9OkSSHzvoD1oA"
)


def raw(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def private(text: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(raw(text)), ec.SECP256R1())


def verified(token: str, key: str) -> dict:
    """The claims of an ES256 token, read with nothing that the sender uses for it."""
    signed, _, signature = token.rpartition(".")
    half = len(raw(signature)) // 2
    r, s = (int.from_bytes(part) for part in (raw(signature)[:half], raw(signature)[half:]))
    point = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), raw(key))
    point.verify(encode_dss_signature(r, s), signed.encode(), ec.ECDSA(hashes.SHA256()))
    head, claims = (json.loads(raw(part)) for part in signed.split("."))
    assert head["alg"] == "ES256"
    return claims


def test_the_message_of_rfc_8291_is_made_byte_for_byte():
    body = http_ece.encrypt(
        WORDS,
        salt=raw(SALT),
        private_key=private(SENDER_PRIVATE),
        dh=raw(RECEIVER_PUBLIC),
        auth_secret=raw(AUTH),
        version="aes128gcm",
    )

    assert body == raw(BODY)
    assert raw(SENDER_PUBLIC) in body[:86]


def test_the_message_of_rfc_8291_is_read():
    told = http_ece.decrypt(
        raw(BODY), private_key=private(RECEIVER_PRIVATE), auth_secret=raw(AUTH), version="aes128gcm"
    )

    assert told == WORDS


def test_the_first_example_of_rfc_8188_is_made_byte_for_byte():
    body = http_ece.encrypt(WALRUS, salt=raw(ONE_SALT), key=raw(ONE_KEY), keyid="", rs=4096)

    assert body == raw(ONE_BODY)


@pytest.mark.parametrize(("body", "key"), [(ONE_BODY, ONE_KEY), (TWO_BODY, TWO_KEY)])
def test_the_examples_of_rfc_8188_are_read(body, key):
    assert http_ece.decrypt(raw(body), key=raw(key), version="aes128gcm") == WALRUS


def test_the_token_of_rfc_8292_verifies():
    parts = [base64.urlsafe_b64encode(one.encode()) for one in (VAPID_HEAD, VAPID_CLAIMS)]
    signed = b".".join(one.rstrip(b"=") for one in parts).decode()

    claims = verified(f"{signed}.{VAPID_SIGNATURE}", VAPID_KEY)

    assert claims == json.loads(VAPID_CLAIMS)


def test_another_key_does_not_verify_it():
    parts = [base64.urlsafe_b64encode(one.encode()) for one in (VAPID_HEAD, VAPID_CLAIMS)]
    signed = b".".join(one.rstrip(b"=") for one in parts).decode()

    with pytest.raises(InvalidSignature):
        verified(f"{signed}.{VAPID_SIGNATURE}", SENDER_PUBLIC)
