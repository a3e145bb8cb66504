"""Signing in: hashed with argon2id, throttled, silent about who exists, with a second factor."""

import hmac

import pytest
from django.contrib.auth.hashers import identify_hasher, make_password
from django.urls import reverse

from tests.conftest import PASSWORD

LOGIN = "account_login"
RFC_6238_SEED = b"12345678901234567890"


def sign_in(client, email: str, password: str):
    return client.post(reverse(LOGIN), {"login": email, "password": password})


def test_passwords_are_hashed_with_argon2id():
    hashed = make_password("a phrase nobody would guess")

    assert identify_hasher(hashed).algorithm == "argon2"
    assert hashed.startswith("argon2$argon2id$")
    # ASVS 5.0 appendix: at least 19 MiB and two passes.
    memory, passes = (int(part.split("=")[1]) for part in hashed.split("$")[3].split(",")[:2])
    assert memory >= 19 * 1024
    assert passes >= 2


def test_the_right_password_opens_the_desk(client, clinician):
    answer = sign_in(client, clinician.user.email, PASSWORD)

    assert answer.status_code == 302
    assert answer["Location"] == reverse("desk-panel")


def test_the_eleventh_wrong_guess_shuts_the_door_even_for_the_right_password(client, clinician):
    for _ in range(10):
        sign_in(client, clinician.user.email, "not the password at all")

    answer = sign_in(client, clinician.user.email, PASSWORD)

    assert answer.status_code in {200, 429}
    assert "_auth_user_id" not in client.session


def test_a_stranger_and_a_clinician_get_the_same_refusal(client, clinician):
    known = sign_in(client, clinician.user.email, "not the password at all").content
    unknown = sign_in(client, "nobody@larkrise.example", "not the password at all").content

    def without_typed(page: bytes, email: str) -> bytes:
        return b"\n".join(
            line for line in page.replace(email.encode(), b"").splitlines() if b"csrf" not in line
        )

    assert without_typed(known, clinician.user.email) == without_typed(
        unknown, "nobody@larkrise.example"
    )


def test_a_forgotten_password_says_the_same_to_everybody(client, clinician, mailoutbox):
    known = client.post(reverse("account_reset_password"), {"email": clinician.user.email})
    unknown = client.post(reverse("account_reset_password"), {"email": "nobody@x.example"})

    assert known.status_code == unknown.status_code == 302
    assert known["Location"] == unknown["Location"]


def test_signing_in_makes_a_new_session(client, clinician):
    client.get(reverse(LOGIN))
    before = client.session.session_key

    sign_in(client, clinician.user.email, PASSWORD)

    assert client.session.session_key != before


def test_nobody_signs_up(client, db):
    answer = client.post(
        reverse("account_signup"), {"email": "new@x.example", "password1": PASSWORD}
    )

    assert answer.status_code == 200
    assert "_auth_user_id" not in client.session


def test_without_a_second_factor_the_desk_asks_for_one(desk, settings):
    settings.REQUIRE_MFA = True

    answer = desk.get(reverse("desk-panel"))

    assert answer.status_code == 302
    assert answer["Location"] == reverse("mfa_activate_totp")


@pytest.mark.parametrize(
    ("moment", "code"),
    # RFC 6238, appendix B, SHA-1 column, last six of eight digits.
    [(59, "287082"), (1111111109, "081804"), (1234567890, "005924"), (2000000000, "279037")],
)
def test_the_second_factor_computes_the_printed_codes(moment, code):
    from base64 import b32encode

    from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value

    value = hotp_value(b32encode(RFC_6238_SEED).decode(), moment // 30)

    assert hmac.compare_digest(format_hotp_value(value), code)


def test_the_seed_of_a_second_factor_is_not_readable_in_the_database(clinician):
    from allauth.mfa.adapter import get_adapter

    stored = get_adapter().encrypt("JBSWY3DPEHPK3PXP")

    assert "JBSWY3DPEHPK3PXP" not in stored
    assert get_adapter().decrypt(stored) == "JBSWY3DPEHPK3PXP"
