"""Pair a phone in the room, confirm the one that appeared, end one that is gone."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from homeprogram.models import PairingCode, Phone
from homeprogram.services.pairing import phone_pair
from tests.support.reading import text_of

CODE = re.compile(r"<span>([A-Z]{5})</span><span[^>]*>-</span><span>([A-Z]{5})</span>")


@pytest.fixture
def url(patient) -> str:
    return reverse("phone-pair", kwargs={"patient_id": patient.id})


@pytest.fixture
def waiting_url(patient) -> str:
    return reverse("phone-waiting", kwargs={"patient_id": patient.id})


def shown_code(response) -> str:
    return "-".join(CODE.search(response.content.decode()).groups())


def appear(desk, url, now, answer: str = "replace", label: str = "green phone") -> Phone:
    code = shown_code(desk.post(url, {"other_phone": answer}))
    phone, _ = phone_pair(secret=code, label=label, address="10.0.0.7", now=now)
    return phone


def confirm(desk, phone: Phone):
    return desk.post(reverse("phone-confirm", kwargs={"phone_id": phone.id}))


def test_looking_makes_no_code(desk, url):
    desk.get(url)

    assert not PairingCode.objects.exists()


def test_a_code_is_shown_as_picture_and_as_two_groups(desk, url):
    response = desk.post(url, {"other_phone": "replace"})

    content = response.content.decode()
    assert CODE.search(content)
    assert re.search(r'<svg width="\d+" height="\d+" class="segno">', content)
    assert "10 minutes" in content
    assert " style=" not in content


def test_neither_the_code_nor_the_tokens_link_is_kept_in_words(desk, url):
    code = shown_code(desk.post(url, {"other_phone": "replace"}))

    row = PairingCode.objects.get()
    assert code.replace("-", "") not in (row.code_hash, row.link_hash)
    assert "#pair=" not in desk.get(url).content.decode()


def test_a_phone_that_appears_is_told_to_the_page_that_waits(desk, url, waiting_url, now):
    assert desk.get(waiting_url).json() == {"phones": []}
    phone = appear(desk, url, now)

    told = desk.get(waiting_url).json()["phones"]

    assert told == [
        {
            "label": "green phone",
            "url": reverse("phone-confirm", kwargs={"phone_id": phone.id}),
        }
    ]


def test_asking_for_the_phone_keeps_no_session_awake(desk, waiting_url):
    desk.get(waiting_url)

    assert "desk_seen_at" not in desk.session


def test_a_phone_works_only_once_it_is_confirmed(desk, url, now, clinician, patient_url):
    phone = appear(desk, url, now)
    assert phone.state == "waiting"
    assert "green phone" in text_of(
        desk.get(reverse("phone-confirm", kwargs={"phone_id": phone.id}))
    )

    confirm(desk, phone)

    phone.refresh_from_db()
    assert (phone.state, phone.confirmed_by) == ("active", clinician)


def test_the_new_phone_replaces_the_old_one(desk, url, phone, now):
    confirm(desk, appear(desk, url, now + timedelta(minutes=1), "replace"))

    phone.row.refresh_from_db()
    assert phone.row.state == "replaced"


def test_both_phones_are_used_where_that_was_said(desk, url, phone, now):
    confirm(desk, appear(desk, url, now + timedelta(minutes=1), "both"))

    phone.row.refresh_from_db()
    assert phone.row.state == "active"


def test_a_phone_is_confirmed_once(desk, url, now):
    phone = appear(desk, url, now)
    confirm(desk, phone)

    assert "not waiting to be confirmed" in text_of(confirm(desk, phone))


@pytest.mark.parametrize("state", ["replaced", "stolen"])
def test_a_phone_that_is_gone_loses_its_access(desk, phone, state):
    page = reverse("phone-revoke", kwargs={"phone_id": phone.id})

    response = desk.post(page, {"state": state})

    phone.row.refresh_from_db()
    assert response.status_code == 302
    assert phone.row.state == state
    assert phone.pull().status_code == 401


def test_how_it_went_must_be_said(desk, phone):
    page = reverse("phone-revoke", kwargs={"phone_id": phone.id})

    response = desk.post(page, {"state": "active"})

    assert "Not saved yet" in text_of(response)
    phone.row.refresh_from_db()
    assert phone.row.state == "active"
