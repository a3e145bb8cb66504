import json
import re
from datetime import timedelta

import pytest
from django.apps import apps
from django.db import connection
from django.utils import timezone
from rest_framework.test import APIClient

from homeprogram.models import PairingTry, Phone
from homeprogram.services.pairing import code_create, hashed, phone_confirm
from tests.support.concurrency import at_once, committed

URL = "/api/v1/pairing/"
PUSH = "/api/v1/sync/push/"
OTHER_ADDRESSES = [hashed(f"192.0.2.{n}") for n in range(200)]


def redeem(code: str, *, address: str = "10.0.0.9", label: str = "Wilma's phone", **headers):
    return APIClient().post(
        URL,
        {"code": code, "phone_label": label},
        format="json",
        REMOTE_ADDR=address,
        headers={"X-Boutwise": "1"} | headers,
    )


@pytest.fixture
def code(patient, clinician):
    return code_create(patient=patient, by=clinician, now=timezone.now())


def try_often(address_hash: str | None = None) -> None:
    """Twenty tries from one address, or two hundred from as many."""
    hashes = [address_hash] * 20 if address_hash else OTHER_ADDRESSES
    now = timezone.now()
    PairingTry.objects.bulk_create(PairingTry(address_hash=h, tried_at=now) for h in hashes)


def test_a_code_pairs_a_phone_that_waits(code, patient):
    reply = redeem(code.code)

    phone = Phone.objects.get()
    assert reply.status_code == 201
    assert reply.json() == {"phone_id": str(phone.id), "state": "waiting"}
    assert (phone.patient, phone.label, phone.state) == (patient, "Wilma's phone", "waiting")


def test_a_code_is_shown_as_two_groups_of_five_consonants(code):
    assert re.fullmatch(r"[BCDFGHJKLMNPQRSTVWXZ]{5}-[BCDFGHJKLMNPQRSTVWXZ]{5}", code.code)


@pytest.mark.parametrize(
    "typed",
    [
        lambda code: code.lower(),
        lambda code: code.replace("-", ""),
        lambda code: f"  {code.replace('-', ' ')} ",
        lambda code: "-".join(code.replace("-", "")),
    ],
    ids=["small letters", "no hyphen", "spaces", "hyphens everywhere"],
)
def test_case_spaces_and_hyphens_do_not_matter(code, typed):
    assert redeem(typed(code.code)).status_code == 201


def test_the_links_token_pairs_too(code):
    assert redeem(code.token).status_code == 201


def test_the_links_token_must_be_exact(code):
    assert redeem(code.token.swapcase()).json()["code"] == "pairing_code_invalid"


def test_a_wrong_code_is_refused(code):
    reply = redeem("BBBBB-BBBBB")

    assert reply.status_code == 400
    assert reply.json() == {
        "code": "pairing_code_invalid",
        "message": "This code does not work. Ask the clinic for a new one.",
        "fields": {},
    }


def test_a_code_lives_ten_minutes(patient, clinician):
    now = timezone.now()
    old = code_create(patient=patient, by=clinician, now=now - timedelta(minutes=10, seconds=1))
    young = code_create(patient=patient, by=clinician, now=now - timedelta(minutes=9, seconds=30))

    refused, taken = redeem(old.code), redeem(young.code)

    assert (refused.status_code, refused.json()["code"]) == (400, "pairing_code_expired")
    assert taken.status_code == 201


@pytest.mark.parametrize("again", ["code", "token"])
def test_a_code_and_its_link_pair_one_phone_between_them(code, again):
    redeem(code.code)

    reply = redeem(getattr(code, again))

    assert (reply.status_code, reply.json()["code"]) == (400, "pairing_code_used")
    assert Phone.objects.count() == 1


def test_a_code_without_a_text_is_malformed(db):
    reply = redeem("")

    assert reply.status_code == 400
    assert list(reply.json()["fields"]) == ["code"]


def test_the_twenty_first_try_of_an_address_waits(code):
    for _ in range(20):
        assert redeem("BBBBB-BBBBB").status_code == 400

    refused, elsewhere = redeem(code.code), redeem(code.code, address="10.0.0.10")

    assert refused.status_code == 429
    assert refused["Retry-After"] == "600"
    assert refused.json()["code"] == "too_many_tries"
    assert elsewhere.status_code == 201


def test_after_two_hundred_tries_in_all_only_links_pair(code):
    try_often()

    typed, linked = redeem(code.code), redeem(code.token)

    assert (typed.status_code, typed["Retry-After"]) == (429, "600")
    assert linked.status_code == 201


def test_a_link_does_not_pass_the_limit_of_its_address(code):
    try_often(hashed("10.0.0.9"))

    assert redeem(code.token).status_code == 429


def test_tries_are_forgotten_after_an_hour(code):
    try_often(hashed("10.0.0.9"))
    PairingTry.objects.update(tried_at=timezone.now() - timedelta(minutes=61))

    assert redeem(code.code).status_code == 201
    assert PairingTry.objects.count() == 1


def test_a_standing_code_pairs_any_number_of_phones_at_once(patient, clinician):
    old = timezone.now() - timedelta(days=30)
    demo = code_create(patient=patient, by=clinician, now=old, replaces=False, standing=True)
    try_often()

    replies = [redeem(demo.code) for _ in range(25)]

    assert {reply.status_code for reply in replies} == {201}
    assert {reply.json()["state"] for reply in replies} == {"active"}


def test_the_credential_is_out_of_reach_of_scripts_and_other_sites(code):
    cookie = redeem(code.code).cookies["phone"]

    assert cookie["httponly"] is True
    assert cookie["samesite"] == "Strict"
    assert cookie["max-age"] == 400 * 24 * 3600
    assert cookie["path"] == "/"


def test_in_production_the_credential_travels_encrypted_only(code, settings):
    settings.SESSION_COOKIE_SECURE = True
    settings.PHONE_COOKIE_NAME = "__Host-phone"

    cookie = redeem(code.code).cookies["__Host-phone"]

    assert cookie["secure"] is True
    assert cookie["domain"] == ""


@pytest.mark.parametrize(
    "headers",
    [{"X-Boutwise": ""}, {"X-Boutwise": "0"}, {"Sec-Fetch-Site": "cross-site"},
     {"Sec-Fetch-Site": "same-site"}, {"Sec-Fetch-Site": "none"}],
    ids=str,
)  # fmt: skip
def test_a_request_from_elsewhere_pairs_nothing(code, headers):
    reply = redeem(code.code, **headers)

    assert (reply.status_code, reply.json()["code"]) == (403, "foreign")
    assert not Phone.objects.exists()


def test_only_json_is_read(code):
    reply = APIClient().post(URL, {"code": code.code}, headers={"X-Boutwise": "1"})

    assert reply.status_code == 415
    assert set(reply.json()) == {"code", "message", "fields"}


def test_no_code_token_or_credential_is_stored_as_it_is(code):
    token = redeem(code.code).cookies["phone"].value
    secrets = [code.code, code.code.replace("-", ""), code.token, token]

    stored = [
        json.dumps(list(row), default=str)
        for model in apps.get_app_config("homeprogram").get_models()
        for row in model.objects.values_list()
    ]

    assert len(stored) > 5
    assert not [secret for secret in secrets for row in stored if secret in row]


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_of_phones_that_use_one_code_at_the_same_instant_one_wins(
    django_db_setup, django_db_blocker
):
    from homeprogram.services.patients import patient_add
    from tests.conftest import make_clinic, make_clinician

    with committed(django_db_blocker):
        now = timezone.now()
        clinician = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        patient = patient_add(by=clinician, name="Wilma Tarn", now=now)
        code = code_create(patient=patient, by=clinician, now=now)

        replies = at_once(6, lambda n: redeem([code.code, code.token][n % 2]))

        assert sorted(reply.status_code for reply in replies) == [201, 400, 400, 400, 400, 400]
        assert Phone.objects.count() == 1


def test_the_phone_asks_how_its_pairing_stands(code, clinician, patient, now):
    browser = APIClient()
    browser.cookies["phone"] = redeem(code.code).cookies["phone"].value
    waiting = browser.get(URL).json()
    phone_confirm(phone=Phone.objects.get(), by=clinician, now=timezone.now())
    active = browser.get(URL).json()

    assert waiting["state"] == "waiting"
    assert "patient" not in waiting
    assert active["state"] == "active"
    assert active["patient"] == {"initials": "WT"}
    assert active["log_identity"] == waiting["log_identity"]
    assert 0 <= active["age_s"] < 60


@pytest.mark.parametrize("state", ["replaced", "stolen"])
def test_a_revoked_phone_hears_so(phone, state):
    from homeprogram.services.pairing import phone_revoke

    phone_revoke(phone=phone.row, state=state, now=timezone.now())

    reply = phone.http.get(URL)

    assert reply.json()["state"] == "revoked"
    assert reply.json()["revoked"] == state
    assert "patient" not in reply.json()


def test_a_phone_that_is_left_forgets_its_credential_and_stays_the_clinics_to_end(phone):
    reply = phone.http.delete(URL, headers={"X-Boutwise": "1"})

    assert reply.status_code == 204
    assert (reply.cookies["phone"].value, reply.cookies["phone"]["max-age"]) == ("", 0)
    assert "Clear-Site-Data" not in reply.headers
    assert Phone.objects.get(id=phone.row.id).state == "active"


def test_another_site_cannot_make_a_phone_forget(phone):
    reply = phone.http.delete(URL, headers={"X-Boutwise": "1", "Sec-Fetch-Site": "cross-site"})

    assert (reply.status_code, reply.json()["code"]) == (403, "foreign")
    assert "phone" not in reply.cookies


@pytest.mark.parametrize("cookie", [None, "", "guess"])
def test_a_phone_nobody_knows_is_not_paired(db, cookie):
    browser = APIClient()
    if cookie is not None:
        browser.cookies["phone"] = cookie

    reply = browser.get(URL)

    assert (reply.status_code, reply.json()["code"]) == (401, "not_paired")


def test_a_first_visit_that_asks_quietly_hears_no_refusal(phone):
    first, known = APIClient().get(URL, {"quietly": 1}), phone.http.get(URL, {"quietly": 1})

    assert (first.status_code, first.content) == (204, b"")
    assert known.json()["phone_id"] == str(phone.id)
    assert APIClient().get(URL).status_code == 401
