"""Names, notes, codes and tokens reach no log and no address, not even when things fail."""

import logging

import pytest
from django.urls import reverse

from tests.conftest import NOW, PairedPhone, make_program
from tests.entries import BOUT

NAME, NOTE, TELEPHONE = "Quillonia Vexmark", "canary-note-7741", "01632 960 777"
CANARIES = [NAME, "Vexmark", NOTE, TELEPHONE]


@pytest.fixture
def logged(caplog):
    caplog.set_level(logging.DEBUG)
    return caplog


@pytest.fixture
def known(clinician, now):
    from homeprogram.services.patients import patient_add

    return patient_add(by=clinician, name=NAME, telephone=TELEPHONE, now=now, zone="UTC")


def traces(logged) -> str:
    """Everything a log line could hold: message, arguments and traceback."""
    plain = logging.Formatter("%(message)s")
    return "\n".join(plain.format(record) for record in logged.records)


def test_a_day_of_work_leaves_no_name_in_the_log(logged, desk, known, clinician, now):
    revision = make_program(known, clinician, now)
    phone = PairedPhone(known, clinician, now)
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    phone.push(phone.entry("bout", BOUT | {"note": NOTE}, **program))
    phone.pull()
    desk.get(reverse("desk-panel"))
    desk.get(reverse("patient-detail", kwargs={"patient_id": known.id}))

    assert not [canary for canary in [*CANARIES, phone.token] if canary in traces(logged)]


def test_failures_leave_no_name_in_the_log(logged, desk, known, clinician, monkeypatch):
    from homeprogram.services import push

    phone = PairedPhone(known, clinician, NOW)
    phone.http.raise_request_exception = False

    def fail(**_):
        raise RuntimeError("planted")

    monkeypatch.setattr(push, "patient_flags_evaluate", fail)
    answer = phone.push(phone.entry("note_to_clinic", {"text": NOTE, "wants_contact": False}))
    desk.post(reverse("patient-add"), {"name": NAME, "telephone": TELEPHONE})
    desk.get("/desk/nowhere")

    assert answer.status_code == 500
    assert "planted" in traces(logged)
    assert not [canary for canary in [*CANARIES, phone.token] if canary in traces(logged)]


def test_a_failed_pairing_leaves_no_code_in_the_log(logged, client, known, clinician, now):
    from homeprogram.services.pairing import code_create

    new = code_create(patient=known, by=clinician, now=now)
    for code in (new.code, new.token, "WRONG-CODES"):
        client.post(
            "/api/v1/pairing/",
            {"code": code, "phone_label": "x"},
            content_type="application/json",
            headers={"X-Boutwise": "1"},
        )

    assert new.code not in traces(logged)
    assert new.token not in traces(logged)


def test_a_wrong_password_leaves_no_address_in_the_log(logged, client, clinician):
    client.post(reverse("account_login"), {"login": clinician.user.email, "password": "guessed at"})

    assert clinician.user.email not in traces(logged)
    assert "guessed at" not in traces(logged)


def test_no_address_of_the_desk_holds_a_name(desk, known):
    page = desk.get(reverse("desk-panel")).content.decode()

    addresses = [part.split('"')[0] for part in page.split('href="')[1:]]

    assert addresses
    assert not [one for one in addresses if "vexmark" in one.lower()]


def test_a_row_is_never_named_when_it_is_printed(known, clinician):
    assert NAME not in str(known)
    assert NAME not in repr(known)
    assert clinician.user.email not in repr(clinician.user)
