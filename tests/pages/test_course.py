"""Pause and resume a home program; the stimulator set and read back."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from homeprogram.models import Change, Pause, StimulatorSetting
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


def test_after_a_week_off_the_usual_return_dose_fills_the_form(desk, program, clock, now):
    desk.post(url("program-pause", program), {"reason": "illness"})
    clock(now + timedelta(days=7))
    end = reverse("pause-end", kwargs={"pause_id": Pause.objects.get().id})
    assert "Return dose: 80 % of the current" in text_of(desk.get(end))

    form = desk.post(end)["Location"]

    assert form.startswith(url("program-revise", program))
    values = desk.get(form).context["form"].initial
    assert (values["start_1"], values["floor_1"], values["ceiling_1"]) == (16, 24, 48)
    assert values["reason"] == (
        "Return after a pause for illness, 8 days off: 80 % of the current."
    )


def test_a_return_dose_said_at_the_start_goes_before_the_usual(desk, program, clock, now):
    said = {"reason": "flare_up", "return_contractions_pct": "50", "return_current_pct": "90"}
    desk.post(url("program-pause", program), said)
    clock(now + timedelta(days=2))

    form = desk.post(reverse("pause-end", kwargs={"pause_id": Pause.objects.get().id}))["Location"]

    values = desk.get(form).context["form"].initial
    assert (values["contractions_per_bout"], values["ceiling_1"]) == (8, 54)


def test_what_was_left_open_at_the_start_is_the_usual(desk, program, clock, now):
    said = {"reason": "flare_up", "return_contractions_pct": "50"}
    desk.post(url("program-pause", program), said)
    clock(now + timedelta(days=8))

    form = desk.post(reverse("pause-end", kwargs={"pause_id": Pause.objects.get().id}))["Location"]

    values = desk.get(form).context["form"].initial
    assert (values["contractions_per_bout"], values["ceiling_1"]) == (8, 48)


@pytest.mark.parametrize("pct", ["5", "101"])
def test_a_return_dose_is_a_reduction(desk, program, pct):
    desk.post(url("program-pause", program), {"reason": "travel", "return_current_pct": pct})

    assert not Pause.objects.exists()


def test_the_dose_may_stay_as_before(desk, program, clock, now):
    desk.post(url("program-pause", program), {"reason": "travel"})
    clock(now + timedelta(days=9))

    end = reverse("pause-end", kwargs={"pause_id": Pause.objects.get().id})
    response = desk.post(end, {"as_before": "1"})

    assert "/patients/" in response["Location"]


def test_a_stay_in_hospital_asks_for_a_screening_before_the_pause_ends(desk, program, clock, now):
    clock(now + timedelta(hours=1))
    desk.post(url("program-pause", program), {"reason": "readmission"})

    end = reverse("pause-end", kwargs={"pause_id": Pause.objects.get().id})

    assert "Screen again" in text_of(desk.get(end))


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
