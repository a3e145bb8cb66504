"""The clinic's own protocol families beside ours."""

import pytest
from django.urls import reverse

from clinician.models import Draft
from homeprogram.models import ClinicFamily, Revision
from homeprogram.services.patients import episode_add
from tests.conftest import make_screening
from tests.pages.test_program_assign import value_of
from tests.support.reading import text_of

LIST, ADD = "/desk/families/", "/desk/families/add/"
FIGURES = {
    "name": "Larkrise short rests",
    "source": "Agreed in the team, March 2030",
    "notes": "",
    "pathways": ["conservative"],
    "waveform": "symmetric_biphasic",
    "frequency_hz": "60",
    "phase_duration_us": "350",
    "on_s": "10",
    "off_s": "20",
    "ramp_up_s": "2",
    "ramp_down_s": "2",
    "ramps_inside_on": "no",
    "contractions_per_bout": "30",
    "bouts_per_day": "2",
    "days_per_week": "5",
    "weeks": "9",
    "electrode_cm2": "60",
}


@pytest.fixture
def episode(patient, clinician, now):
    episode = episode_add(
        patient=patient, limb="right", pathway="conservative", starts_on=now.date(), now=now
    )
    make_screening(episode, clinician, now)
    return episode


@pytest.fixture
def family(desk):
    desk.post(ADD, FIGURES)
    return ClinicFamily.objects.get()


@pytest.fixture
def start_url(episode, family) -> str:
    return reverse("program-assign", kwargs={"episode_id": episode.id, "family": family.id})


def test_figures_are_kept_by_name_with_their_source(family, clinician):
    assert (family.clinic, family.created_by) == (clinician.clinic, clinician)
    assert family.source == "Agreed in the team, March 2030"
    assert family.values["off_s"] == 20
    assert family.values["ramps_inside_on"] is False
    assert "knee_angle_deg" not in family.values


def test_the_list_tells_ours_from_the_clinics(desk, family):
    text = text_of(desk.get(LIST))

    assert "Larkrise short rests the clinic's own" in text
    assert "After ACL reconstruction ours, read-only" in text


def test_both_are_offered_where_a_program_starts(desk, episode, family):
    text = text_of(desk.get(reverse("program-start", kwargs={"episode_id": episode.id})))

    assert "Larkrise short rests" in text
    assert "After ACL reconstruction" in text


def test_a_program_starts_from_the_clinics_family(desk, start_url):
    response = desk.get(start_url)

    content = response.content.decode()
    assert value_of(content, "off_s") == "20"
    assert value_of(content, "frequency_hz") == "60"
    assert "30 contractions a bout in 17 min" in text_of(response)  # 30 x (10 + 20 + 4) s


def test_a_dose_is_held_against_it_and_remembers_its_name(desk, start_url, family, program_post):
    typed = program_post | {"family": str(family.id)}

    assert "50 s: longer than the 20 s of the family 'Larkrise short rests'" in text_of(
        desk.post(start_url, typed | {"check": "1"})
    )
    saved = desk.post(start_url, typed, follow=True)

    assert Revision.objects.get().family == str(family.id)
    assert "Started from: Larkrise short rests" in text_of(saved)


def test_a_program_is_revised_against_it_too(desk, start_url, family, program_post):
    desk.post(start_url, program_post | {"family": str(family.id)})
    program = Revision.objects.get().program

    text = text_of(desk.get(reverse("program-revise", kwargs={"program_id": program.id})))

    assert "of the family 'Larkrise short rests'" in text


@pytest.mark.parametrize(
    ("odd", "sentence"),
    [
        ({"source": ""}, "Fill this in."),
        ({"bout_min": "20"}, "the contractions of a bout or its length, not both"),
        ({"on_s": "", "frequency_hz": ""}, "Give at least a timing or a frequency."),
        ({"days_per_week": "8"}, "less than or equal to 7"),
    ],
)
def test_a_family_that_makes_no_sense_is_refused(desk, odd, sentence):
    response = desk.post(ADD, FIGURES | odd)

    assert sentence in text_of(response)
    assert not ClinicFamily.objects.exists()


def test_a_name_is_used_once(desk, family):
    assert "The clinic has a family of this name." in text_of(desk.post(ADD, FIGURES))
    assert ClinicFamily.objects.count() == 1


def test_figures_of_a_program_being_written_become_a_family(desk, episode, program_post):
    typed = program_post | {"keep_family": "1", "draft": f"program-{episode.id}"}

    response = desk.post(ADD, typed)

    content = response.content.decode()
    assert value_of(content, "off_s") == "50"
    assert value_of(content, "days_per_week") == "3"
    assert not ClinicFamily.objects.exists()  # not before it has a name and a source
    assert Draft.objects.get().data["off_s"] == ["50"]  # the program is not lost


def test_a_family_made_on_the_way_leads_back_to_the_program(desk, episode):
    response = desk.post(ADD, FIGURES | {"draft": f"program-{episode.id}"})

    assert response["Location"] == reverse("program-start", kwargs={"episode_id": episode.id})


def test_another_clinics_family_is_not_there(outside_desk, desk, family, outsider, now):
    from homeprogram.services.patients import patient_add

    theirs = patient_add(by=outsider, name="Osk Fenn", now=now, zone="UTC")
    episode = episode_add(
        patient=theirs, limb="left", pathway="conservative", starts_on=now.date(), now=now
    )
    url = reverse("program-assign", kwargs={"episode_id": episode.id, "family": family.id})

    assert outside_desk.get(url).status_code == 404
    assert "Larkrise short rests" not in text_of(outside_desk.get(LIST))
