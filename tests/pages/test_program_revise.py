"""Revise a home program: filled in from the newest revision, a reason always."""

import pytest
from django.urls import reverse

from homeprogram.models import Revision
from tests.conftest import make_program
from tests.pages.test_program_assign import value_of
from tests.support.reading import text_of


@pytest.fixture
def url(revision) -> str:
    return reverse("program-revise", kwargs={"program_id": revision.program_id})


def test_it_is_filled_in_from_the_newest_revision(desk, url):
    content = desk.get(url).content.decode()

    assert value_of(content, "on_s") == "10"
    assert value_of(content, "ceiling_1") == "60"
    assert value_of(content, "first_day") == "2030-03-05"
    assert "Push the knee down and hold." in content  # its own words of the exercise


def test_the_old_revision_stays_as_it_was(desk, url, revision, program_post):
    changed = program_post | {"reason": "twitches only", "ceiling_1": "70"}

    response = desk.post(url, changed)

    assert response.status_code == 302
    assert list(Revision.objects.order_by("number").values_list("number", flat=True)) == [1, 2]
    assert Revision.objects.get(number=1).intensity[0]["ceiling"] == 60
    assert Revision.objects.get(number=2).intensity[0]["ceiling"] == 70


def test_no_revision_without_a_reason(desk, url, program_post):
    response = desk.post(url, program_post | {"reason": " "})

    assert "Fill this in." in text_of(response)
    assert Revision.objects.count() == 1


def test_a_revision_never_starts_today(desk, url, program_post):
    response = desk.post(url, program_post | {"first_day": "2030-03-04"})

    assert "The first day is tomorrow (2030-03-05) or later." in text_of(response)


def test_tomorrow_is_the_patients_own(desk, url, patient, clock, now):
    patient.zone = "Pacific/Kiritimati"  # 14 hours ahead of UTC
    patient.save()
    clock(now.replace(hour=11))  # there it is Tuesday, one in the morning

    assert value_of(desk.get(url).content.decode(), "first_day") == "2030-03-06"


def test_an_exercise_outside_the_catalogue_is_kept(desk, patient, clinician, now, program_post):
    odd = {"code": "own_one", "name": "Own one", "contraction_type": "isometric", "how": "So."}
    program = make_program(patient, clinician, now, exercises=(odd,)).program
    url = reverse("program-revise", kwargs={"program_id": program.id})

    desk.post(url, program_post | {"exercise_1": "own_one", "how_1": "So."})

    assert Revision.objects.get(number=2).exercises == [odd]


def test_an_ended_program_takes_no_revision(desk, url, revision, program_post, now):
    from homeprogram.services.programs import program_end

    program_end(program=revision.program, by=revision.created_by, reason="done", now=now)

    assert "This home program has ended." in text_of(desk.post(url, program_post))
