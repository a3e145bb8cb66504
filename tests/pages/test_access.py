"""Every page of the desk asks who is there. New routes are found by the resolver."""

import re
from uuid import UUID, uuid4

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from clinician.urls import urlpatterns
from homeprogram.models import Flag, Patient
from homeprogram.services.flags import flag_close
from homeprogram.services.pairing import code_create, phone_pair
from homeprogram.services.programs import program_pause
from tests.conftest import PASSWORD

OPEN_TO_ALL = {"clinician-join"}  # carries its own token
LEAD_ONLY = {
    "staff-list",
    "staff-invite",
    "staff-link",
    "staff-end",
    "clinic-texts",
    "clinic-rules",
}
ROUTES = [one.name for one in urlpatterns if one.name not in OPEN_TO_ALL]
WITH_ID = [
    one.name for one in urlpatterns if "<uuid:" in str(one.pattern) and one.name not in LEAD_ONLY
]
SLOT = re.compile(r"<uuid:(\w+)>")


def slot_of(name: str) -> str | None:
    pattern = next(str(one.pattern) for one in urlpatterns if one.name == name)
    found = SLOT.search(pattern)
    return found.group(1) if found else None


def address(name: str, ids: dict[str, UUID]) -> str:
    slot = slot_of(name)
    kwargs = {slot: ids[slot]} if slot else {}
    if name == "program-assign":
        kwargs["family"] = "scratch"
    return reverse(name, kwargs=kwargs)


def nobody() -> dict[str, UUID]:
    return dict.fromkeys(filter(None, map(slot_of, ROUTES)), uuid4())


@pytest.fixture
def ids(patient, revision, clinician, lead, now) -> dict[str, UUID]:
    """One row of this clinic for every slot of an address."""
    flag = Flag.objects.create(
        clinic=patient.clinic,
        patient=patient,
        reason="no_contact",
        rule_version=1,
        safety=False,
        fact_at=now,
        basis={"since": "2030-03-01", "due_days_unheard": 2, "rule": "..."},
        opened_at=now,
    )
    pause = program_pause(program=revision.program, by=clinician, reason="travel", now=now)
    code = code_create(patient=patient, by=clinician, now=now)
    phone, _ = phone_pair(secret=code.code, label="blue phone", address="10.0.0.9", now=now)
    return {
        "patient_id": patient.id,
        "episode_id": revision.program.episode_id,
        "program_id": revision.program_id,
        "revision_id": revision.id,
        "pause_id": pause.id,
        "phone_id": phone.id,
        "flag_id": flag.id,
        "clinician_id": clinician.id,
    }


@pytest.mark.parametrize("name", ROUTES)
def test_nobody_sees_a_page_without_signing_in(stranger, ids, name):
    for method in (stranger.get, stranger.post):
        response = method(address(name, ids))

        assert response.status_code == 302
        assert response.url.startswith(reverse("account_login"))


@pytest.mark.parametrize("name", WITH_ID)
def test_own_rows_are_found(desk, ids, name):
    assert desk.get(address(name, ids)).status_code == 200


@pytest.mark.parametrize("name", [*WITH_ID, "staff-link", "staff-end"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_another_clinics_rows_answer_like_absent_ones(outside_lead_desk, ids, name, method):
    foreign = getattr(outside_lead_desk, method)(address(name, ids))
    absent = getattr(outside_lead_desk, method)(address(name, nobody()))

    assert foreign.status_code == absent.status_code == 404
    assert foreign.content == absent.content


@pytest.mark.parametrize("name", sorted(LEAD_ONLY))
def test_pages_of_the_lead_do_not_exist_for_others(desk, ids, name):
    assert desk.get(address(name, ids)).status_code == 404
    assert desk.post(address(name, ids)).status_code == 404


@pytest.mark.parametrize("name", ROUTES)
@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_only_get_and_post_are_understood(desk, ids, name, method):
    response = getattr(desk, method)(address(name, ids))

    assert response.status_code == (404 if name in LEAD_ONLY else 405)


@pytest.mark.parametrize("name", ROUTES)
def test_no_page_may_be_kept_by_a_cache(lead_desk, ids, name):
    response = lead_desk.get(address(name, ids))

    assert "no-store" in response["Cache-Control"]


def test_a_post_needs_its_form(clinician, ids):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(clinician.user)

    response = browser.post(address("flag-close", ids), {"reason": "called"})

    assert response.status_code == 403
    assert b"too old" in response.content


def test_a_deactivated_clinician_is_signed_out_at_once(desk, clinician, lead):
    from homeprogram.services.clinics import clinician_deactivate

    clinician_deactivate(clinician=clinician, by=lead)

    assert desk.get(reverse("desk-panel")).status_code == 302


def test_a_user_without_a_clinic_has_no_access(db, stranger):
    from homeprogram.models import User

    stranger.force_login(User.objects.create_user(email="lone@nowhere.example"))

    assert stranger.get(reverse("desk-panel")).status_code == 403


def test_where_a_second_factor_is_asked_for_it_is_set_up_first(desk, settings):
    settings.REQUIRE_MFA = True

    response = desk.get(reverse("desk-panel"))

    assert response.url == reverse("mfa_activate_totp")


def signed_in(clinician) -> Client:
    browser = Client()
    browser.post(reverse("account_login"), {"login": clinician.user.email, "password": PASSWORD})
    return browser


def idle(browser: Client) -> None:
    """As if the last click was long ago."""
    session = browser.session
    session["desk_seen_at"] = 1.0
    for one in session["account_authentication_methods"]:
        one["at"] = 1.0
    session.save()


def test_an_idle_desk_asks_for_the_password(clinician):
    browser = signed_in(clinician)
    idle(browser)

    response = browser.get(reverse("desk-panel"))

    assert response.url.startswith(reverse("account_reauthenticate"))


def test_what_was_typed_on_an_idle_desk_goes_through_after_the_password(
    clinician, patient, ids, now
):
    browser = signed_in(clinician)
    idle(browser)
    url = address("flag-close", ids)

    asked = browser.post(url, {"reason": "called the patient"})
    assert Flag.objects.get(id=ids["flag_id"]).state == "open"
    done: HttpResponse = browser.post(asked.url, {"password": PASSWORD})

    assert done.status_code == 302
    assert Flag.objects.get(id=ids["flag_id"]).close_reason == "called the patient"


def test_names_stay_out_of_addresses(ids):
    name = Patient.objects.get(id=ids["patient_id"]).name.split()[0].lower()

    assert not any(name in address(route, ids).lower() for route in ROUTES)


def test_a_flag_closed_meanwhile_is_said_so(desk, ids, clinician, now):
    flag = Flag.objects.get(id=ids["flag_id"])
    flag_close(flag=flag, by=clinician, reason="first", now=now)

    response = desk.post(address("flag-close", ids), {"reason": "second"})

    assert "closed already" in response.content.decode()
    assert Flag.objects.get(id=flag.id).close_reason == "first"
