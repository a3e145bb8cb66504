"""Pause, resume and end a home program; the stimulator set and read back."""

from datetime import date

import pytest
from django.urls import reverse

from homeprogram.models import Change, Episode, Pause, StimulatorSetting
from tests.support.reading import text_of


@pytest.fixture
def program(revision):
    return revision.program


def url(name: str, program) -> str:
    return reverse(name, kwargs={"program_id": program.id})


def test_a_pause_runs_from_today(desk, program, clinician):
    desk.post(url("program-pause", program), {"reason": "travel", "safety": "on", "note": "sea"})

    pause = Pause.objects.get()
    assert (pause.first_day, pause.last_day) == (date(2030, 3, 4), None)
    assert (pause.reason, pause.safety, pause.created_by) == ("travel", True, clinician)


def test_the_phone_hears_of_a_pause(desk, program):
    before = Change.objects.filter(type="program").count()

    desk.post(url("program-pause", program), {"reason": "illness"})

    assert Change.objects.filter(type="program").count() == before + 1


@pytest.mark.parametrize(
    ("answer", "sentence"),
    [
        ({"reason": ""}, "Choose one."),
        ({"reason": "travel", "last_day": "2030-03-01"}, "its last day is today or later"),
    ],
)
def test_an_odd_pause_is_refused(desk, program, answer, sentence):
    response = desk.post(url("program-pause", program), answer)

    assert sentence in text_of(response)
    assert not Pause.objects.exists()


def test_a_paused_program_is_not_paused_twice(desk, program):
    desk.post(url("program-pause", program), {"reason": "travel"})

    response = desk.post(url("program-pause", program), {"reason": "illness"})

    assert "This home program is paused already." in text_of(response)


def test_the_end_of_a_pause_is_today(desk, program, patient_url):
    desk.post(url("program-pause", program), {"reason": "travel"})
    pause = Pause.objects.get()

    response = desk.post(reverse("pause-end", kwargs={"pause_id": pause.id}))

    pause.refresh_from_db()
    assert response.status_code == 302
    assert pause.last_day == date(2030, 3, 4)


def test_ending_needs_a_reason_and_ends_the_episode(desk, program):
    refused = desk.post(url("program-end", program), {"reason": ""})
    assert "Fill this in." in text_of(refused)

    desk.post(url("program-end", program), {"reason": "goal reached"})

    program.refresh_from_db()
    assert (program.ended_on, program.end_reason) == (date(2030, 3, 4), "goal reached")
    assert Episode.objects.get().ended_on == date(2030, 3, 4)


def test_a_setting_counts_only_when_it_was_read_back(desk, revision, clinician):
    page = reverse("stimulator-set", kwargs={"revision_id": revision.id})

    refused = desk.post(page, {"note": "later"})
    assert "Tick this once the values are set and read back." in text_of(refused)
    assert not StimulatorSetting.objects.exists()

    desk.post(page, {"read_back": "on", "note": "in the room"})
    assert StimulatorSetting.objects.get().set_by == clinician


def test_the_values_to_set_are_on_that_page(desk, revision):
    text = text_of(desk.get(reverse("stimulator-set", kwargs={"revision_id": revision.id})))

    assert "channel 1: start 20 mA, floor 30 mA, ceiling 60 mA" in text
    assert "does not drive the stimulator" in text
