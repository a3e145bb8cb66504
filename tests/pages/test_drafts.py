"""A form that was begun outlives the session that began it."""

import time

import pytest
from django.test import Client
from django.urls import reverse

from clinician.forms.notes import PART
from clinician.models import Draft
from homeprogram.models import Revision
from homeprogram.services.patients import episode_add
from tests.conftest import make_clinician, make_screening
from tests.pages.test_program_assign import value_of
from tests.support.reading import text_of


@pytest.fixture
def episode(patient, clinician, now):
    episode = episode_add(
        patient=patient, limb="left", pathway="conservative", starts_on=now.date(), now=now
    )
    make_screening(episode, clinician, now)
    return episode


@pytest.fixture
def url(episode) -> str:
    kwargs = {"episode_id": episode.id, "family": "acl_reconstruction"}
    return reverse("program-assign", kwargs=kwargs)


@pytest.fixture
def draft_url(episode) -> str:
    return reverse("draft-save", kwargs={"draft": f"program-{episode.id}"})


@pytest.fixture
def typed(program_post) -> dict:
    return program_post | {"off_s": "44", "family": "acl_reconstruction"}


def test_what_is_typed_is_kept_without_the_token(desk, draft_url, typed, clinician):
    response = desk.post(draft_url, typed | {"csrfmiddlewaretoken": "x"})

    draft = Draft.objects.get()
    assert response.status_code == 204
    assert draft.clinician == clinician
    assert draft.data["off_s"] == ["44"]
    assert draft.data["weekdays"] == ["0", "2", "4"]
    assert "csrfmiddlewaretoken" not in draft.data


def test_a_sign_that_no_database_keeps_costs_no_draft(desk, draft_url, typed):
    assert desk.post(draft_url, typed | {"position": "sit\0ting"}).status_code == 204
    assert Draft.objects.get().data["position"] == ["sitting"]


def test_a_note_may_be_as_long_in_a_draft_as_when_it_is_signed(desk, patient):
    parts = dict.fromkeys(("subjective", "objective", "assessment", "plan"), "é" * PART)
    url = reverse("draft-save", kwargs={"draft": f"note-{patient.id}"})

    assert desk.post(url, parts | {"drawn": "x" * PART}).status_code == 204


def test_the_newest_wins(desk, draft_url, typed):
    desk.post(draft_url, typed)
    desk.post(draft_url, typed | {"off_s": "45"})

    assert Draft.objects.get().data["off_s"] == ["45"]


def test_the_form_offers_to_go_on(desk, url, draft_url, typed):
    desk.post(draft_url, typed)

    response = desk.get(url)

    assert "You began this form on Mon 4 Mar 2030, 09:00 and did not send it." in text_of(response)
    assert "Throw the draft away" in text_of(response)
    assert value_of(response.content.decode(), "off_s") == "50"


def test_going_on_fills_in_everything_and_judges_nothing(desk, url, draft_url, typed):
    desk.post(draft_url, typed | {"reason": "", "exercise_1": "roll_press"})

    response = desk.get(url, {"draft": "1"})

    content = response.content.decode()
    assert value_of(content, "off_s") == "44"
    assert '<option value="roll_press" selected>' in content
    assert "Fill this in" not in text_of(response)
    assert "15 contractions a bout" in text_of(response)


def test_it_is_there_after_signing_in_again(desk, url, draft_url, typed, clinician):
    desk.post(draft_url, typed)
    desk.post(reverse("account_logout"))
    again = Client()
    again.force_login(clinician.user)

    assert value_of(again.get(url, {"draft": "1"}).content.decode(), "off_s") == "44"


def test_it_is_gone_once_the_program_is_saved(desk, url, draft_url, typed):
    desk.post(draft_url, typed)

    desk.post(url, typed)

    assert Revision.objects.exists()
    assert not Draft.objects.exists()


def test_a_refused_save_leaves_it(desk, url, draft_url, typed):
    desk.post(draft_url, typed)

    desk.post(url, typed | {"reason": ""})

    assert Draft.objects.exists()


@pytest.fixture
def colleagues_desk(clinic, now) -> Client:
    browser = Client()
    browser.force_login(make_clinician(clinic, "bo@larkrise.example", now, name="Bo").user)
    return browser


def test_nobody_reads_a_colleagues_draft(desk, colleagues_desk, url, draft_url, typed):
    desk.post(draft_url, typed)

    response = colleagues_desk.get(url, {"draft": "1"})

    assert "You began this form" not in text_of(response)
    assert value_of(response.content.decode(), "off_s") == "50"


def test_a_draft_leads_back_to_its_own_family(desk, episode, draft_url, typed):
    desk.post(draft_url, typed | {"family": ""})

    content = desk.get(reverse("program-start", kwargs={"episode_id": episode.id})).content.decode()

    assert "/program/scratch/?draft=1" in content


def idle(desk) -> None:
    """Long enough away that the desk asks for the password."""
    session = desk.session
    session["account_authentication_methods"] = []
    session["desk_seen_at"] = time.time() - 3600
    session.save()


def test_a_session_that_fell_asleep_still_keeps_what_comes(desk, draft_url, typed):
    idle(desk)

    response = desk.post(draft_url, typed)

    assert response.status_code == 302
    assert Draft.objects.get().data["off_s"] == ["44"]


def test_so_does_a_form_sent_too_late(desk, url, typed):
    idle(desk)

    response = desk.post(url, typed)

    assert response.status_code == 302
    assert "reauthenticate" in response["Location"]
    assert Draft.objects.get().data["off_s"] == ["44"]
    assert not Revision.objects.exists()


def test_it_can_be_thrown_away(desk, draft_url, typed):
    desk.post(draft_url, typed)

    desk.post(draft_url, {"discard": "1"})

    assert not Draft.objects.exists()


def test_a_draft_has_an_end(desk, draft_url):
    response = desk.post(draft_url, {"how_1": "x" * 40_001})

    assert response.status_code == 400
    assert response.json()["code"] == "draft_too_long"
    assert not Draft.objects.exists()


@pytest.mark.parametrize("key", ["program-7", "other", "program-"])
def test_a_key_that_names_no_form_is_not_there(desk, key):
    assert desk.post(reverse("draft-save", kwargs={"draft": key})).status_code == 404


def test_another_clinics_form_takes_no_draft(outside_desk, draft_url, typed):
    assert outside_desk.post(draft_url, typed).status_code == 404
    assert not Draft.objects.exists()


def test_a_draft_is_only_ever_sent(desk, draft_url):
    assert desk.get(draft_url).status_code == 405
