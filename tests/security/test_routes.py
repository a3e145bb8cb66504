"""Each route, each role, each method: generated from the resolver, so none is forgotten."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import uuid4

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse
from rest_framework.test import APIClient

from clinician.services.duty import absence_record
from clinician.services.handovers import patients_hand_over
from homeprogram.models import Clinician, Flag, HeldEntry
from homeprogram.services.clinics import clinician_deactivate, clinician_invite
from homeprogram.services.patients import episode_add, patient_add
from homeprogram.services.photos import photo_take
from homeprogram.services.programs import program_pause
from tests.conftest import NOW, PairedPhone, make_clinic, make_clinician, make_program
from tests.entries import entry_id, skin
from tests.security.routes import (
    API,
    DESK,
    LEAD,
    OWN,
    PHONE,
    POLICY,
    every_route,
    names_with,
    parameters_of,
)
from tests.support.desk import make_contact, make_incident, make_loan, make_visit
from tests.support.notes import make_discharge, make_note, make_review
from tests.support.photos import agreed_to_photos, jpeg
from tests.support.prescribing import make_limit, make_strength_test

METHODS = ["get", "post", "put", "patch", "delete"]
ROUTES = {route.name: route for route in every_route()}


@dataclass(frozen=True, slots=True)
class Cast:
    """Who is there, and one row of every kind a desk route can name, all of the same clinic."""

    clinician: Clinician
    lead: Clinician
    outsider: Clinician
    phone: PairedPhone
    rows: dict


@pytest.fixture(scope="module")
def cast(django_db_setup, django_db_blocker) -> Iterator[Cast]:
    """Made once for the many tests of this file; what one of them does is undone after it."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_cast(NOW)
        transaction.set_rollback(True)


@pytest.fixture
def world(db, cast) -> dict:
    return cast.rows


@pytest.fixture
def clinician(db, cast) -> Clinician:
    return Clinician.objects.get(id=cast.clinician.id)


@pytest.fixture
def lead(db, cast) -> Clinician:
    return Clinician.objects.get(id=cast.lead.id)


@pytest.fixture
def outsider(db, cast) -> Clinician:
    return Clinician.objects.get(id=cast.outsider.id)


@pytest.fixture
def phone(db, cast) -> APIClient:
    """A browser of its own each time: answers may set cookies."""
    http = APIClient(SERVER_NAME="localhost")
    http.cookies["phone"] = cast.phone.token
    return http


def make_cast(now) -> Cast:
    clinic = make_clinic(now)
    lead = make_clinician(clinic, "lead@larkrise.example", now, role="lead", name="Ines Lead")
    clinician = make_clinician(clinic, "ro@larkrise.example", now, name="Ro Desk")
    patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone="UTC")
    revision = make_program(patient, clinician, now)
    phone = PairedPhone(patient, clinician, now)
    other = make_clinic(now, "Saltmarsh Physio")
    outsider = make_clinician(other, "una@saltmarsh.example", now, name="Una Other")
    return Cast(clinician, lead, outsider, phone, make_rows(revision, clinician, lead, phone, now))


def make_rows(revision, clinician, lead, phone, now) -> dict:
    episode = revision.program.episode
    raised = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
    note = phone.entry("note_to_clinic", {"text": "All well.", "wants_contact": False})
    phone.push(raised, note, phone.entry("not_done", {"ordinal": 0, "reason": "pain"}))
    pause = program_pause(program=revision.program, by=clinician, reason="travel", now=now)
    invited = clinician_invite(
        clinic=clinician.clinic, email="new@larkrise.example", name="New", now=now
    )
    absence = absence_record(
        clinic=clinician.clinic, clinician=clinician, cover=lead, by=clinician, now=now,
        first_day=now.date(), last_day=now.date(),
    )  # fmt: skip
    return {
        "absence_id": absence.id,
        "patient_id": episode.patient_id,
        "episode_id": episode.id,
        "program_id": revision.program_id,
        "revision_id": revision.id,
        "pause_id": pause.id,
        "phone_id": phone.id,
        "flag_id": Flag.objects.get(reason="skin_reaction").id,
        "clinician_id": invited.id,
        "limit_id": make_limit(episode, clinician, now).id,
        "test_id": make_strength_test(episode, clinician, now).id,
        "entry_id": entry_id(note),
        "visit_id": make_visit(episode, clinician, now).id,
        "incident_id": make_incident(episode.patient, clinician, now).id,
        "loan_id": (loan := make_loan(episode.patient, clinician, now)).id,
        "own_id": loan.stimulator_id,
        "contact_id": make_contact(episode.patient, clinician, now).id,
        "held_id": HeldEntry.objects.get().id,
        "family": "acl_reconstruction",
        "stimulator_id": revision.stimulator_id,
        "draft": f"program-{episode.id}",
        "discharge_id": _discharged(episode, clinician, now).id,
        "review_id": make_review(episode.patient, clinician, now).id,
        "note_id": make_note(episode.patient, clinician, now).id,
        **_photographed(episode.patient, phone, entry_id(raised), clinician, now),
        "batch_id": patients_hand_over(patients=[episode.patient], to=lead, by=clinician, now=now)[
            0
        ],
        "uidb64": "x",
        "token": "y",
        "uidb36": "x",
        "key": "y",
    }


def _photographed(patient, phone, check: str, by, now) -> dict:
    agreement = agreed_to_photos(patient, by, now)
    taken = {"entry_id": check, "taken_ms": 0, "data": jpeg(), "now": now}
    photo = photo_take(phone=phone.row, photo_id=uuid4(), **taken)
    return {"agreement_id": agreement.id, "photo_id": photo.id}


def _discharged(episode, by, now):
    """Of the other leg: the first goes on."""
    other = episode_add(
        patient=episode.patient,
        limb="right",
        pathway="conservative",
        starts_on=now.date(),
        now=now,
    )
    return make_discharge(other, by, now)


def address(name: str, world: dict) -> str:
    return reverse(name, kwargs={key: world[key] for key in parameters_of(ROUTES[name])})


def signed_in(client, clinician):
    client.force_login(clinician.user)
    return client


def test_every_route_states_its_policy():
    assert set(ROUTES) == set(POLICY)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", names_with(DESK, LEAD, OWN))
def test_nobody_gets_past_the_sign_in(client, world, name, method):
    answer = getattr(client, method)(address(name, world))

    assert answer.status_code == 302
    assert answer["Location"].startswith("/account/login/")


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", [n for n in names_with(API, PHONE) if n != "schema"])
def test_an_api_tells_nobody_that_they_are_not_known(client, world, name, method):
    answer = getattr(client, method)(address(name, world))

    assert answer.status_code in {401, 405}
    assert answer.json()["code"] in {"not_paired", "not_authenticated", "method_not_allowed"}


def test_the_schema_is_not_for_strangers(client, db):
    assert client.get(reverse("schema")).status_code == 401


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", names_with(PHONE))
def test_a_clinician_is_no_phone(client, world, clinician, name, method):
    answer = getattr(signed_in(client, clinician), method)(address(name, world))

    assert answer.status_code == 401


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", names_with(DESK, LEAD, OWN, API))
def test_a_phone_is_no_clinician(world, phone, name, method):
    answer = getattr(phone, method)(address(name, world), headers={"X-Boutwise": "1"})

    assert answer.status_code in {302, 401, 403}
    assert "/account/login/" in answer.get("Location", "/account/login/")


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", [n for n in names_with(DESK) if parameters_of(ROUTES[n])])
def test_another_clinics_rows_answer_like_absent_ones(client, world, outsider, name, method):
    browser = signed_in(client, outsider)
    absent = {key: uuid4() if key.endswith("_id") else value for key, value in world.items()}

    foreign = getattr(browser, method)(address(name, world))
    nothing = getattr(browser, method)(address(name, absent))

    assert foreign.status_code == nothing.status_code == 404
    assert foreign.content == nothing.content


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", names_with(LEAD))
def test_a_leads_page_is_not_there_for_a_clinician(client, world, clinician, name, method):
    answer = getattr(signed_in(client, clinician), method)(address(name, world))

    assert answer.status_code == 404


@pytest.mark.parametrize("name", names_with(LEAD))
def test_a_lead_reaches_the_pages_of_a_lead(client, world, lead, name):
    answer = signed_in(client, lead).get(address(name, world))

    assert answer.status_code in {200, 405}


@pytest.mark.parametrize("name", [n for n in names_with(LEAD) if parameters_of(ROUTES[n])])
def test_a_lead_has_no_say_over_another_clinics_staff(client, world, outsider, name):
    Clinician.objects.filter(id=outsider.id).update(role="lead")

    assert signed_in(client, outsider).post(address(name, world)).status_code == 404


@pytest.mark.parametrize("name", names_with(DESK))
def test_a_clinician_reaches_the_pages_of_the_desk(client, world, clinician, name):
    answer = signed_in(client, clinician).get(address(name, world))

    assert answer.status_code in {200, 405}


@pytest.mark.parametrize("name", names_with(DESK, LEAD))
def test_no_page_of_the_desk_may_be_kept_by_a_cache(client, world, lead, name):
    answer = signed_in(client, lead).get(address(name, world))

    assert "no-store" in answer["Cache-Control"]


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
@pytest.mark.parametrize("name", names_with(DESK))
def test_the_desk_knows_only_get_and_post(client, world, clinician, name, method):
    answer = getattr(signed_in(client, clinician), method)(address(name, world))

    assert answer.status_code == 405


@pytest.mark.parametrize("name", names_with(DESK, LEAD))
def test_a_clinician_whose_access_ended_is_out(client, world, lead, clinician, name):
    browser = signed_in(client, lead)
    Clinician.objects.filter(id=clinician.id).update(role="lead")
    clinician_deactivate(clinician=lead, by=clinician, now=NOW)

    assert browser.get(address(name, world)).status_code in {302, 403}


@pytest.mark.parametrize("name", [n for n in names_with(DESK, LEAD) if n != "phone-waiting"])
def test_a_form_without_its_token_is_refused(world, lead, name):
    browser = signed_in(Client(enforce_csrf_checks=True), lead)

    assert browser.post(address(name, world)).status_code in {403, 405}


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none"])
@pytest.mark.parametrize("name", ["sync-push", "pairing"])
def test_a_request_from_elsewhere_is_refused(phone, name, site):
    answer = phone.post(
        reverse(name), {}, format="json", headers={"X-Boutwise": "1", "Sec-Fetch-Site": site}
    )

    assert answer.status_code in {403, 404}


def test_a_phone_sees_only_its_own_patients_log(phone, outsider, now):
    stranger = patient_add(by=outsider, name="Osk Fenn", now=now)
    theirs = make_program(stranger, outsider, now)
    other = PairedPhone(stranger, outsider, now)
    check = other.entry("skin_check", skin(), episode_id=str(theirs.program.episode_id))
    assert other.push(check).status_code == 200

    changes = phone.get(reverse("sync-pull")).json()["changes"]

    assert changes
    assert str(theirs.program_id) not in str(changes)
    assert entry_id(check) not in str(changes)


def test_an_unpaired_phone_hears_401(client):
    answer = APIClient().get(reverse("sync-pull"))

    assert answer.status_code == 401
    assert answer.json()["code"] == "not_paired"
