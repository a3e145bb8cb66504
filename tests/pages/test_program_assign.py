"""Assign a home program: from a protocol family, every figure editable, counts shown."""

import re

import pytest
from django.urls import reverse

from homeprogram.models import HomeProgram, Revision
from homeprogram.services.patients import episode_add
from tests.conftest import make_screening
from tests.support.reading import text_of


@pytest.fixture
def episode(patient, clinician, now):
    """Screened: nothing stands in the way."""
    episode = episode_add(
        patient=patient, limb="left", pathway="conservative", starts_on=now.date(), now=now
    )
    make_screening(episode, clinician, now)
    return episode


@pytest.fixture
def choice_url(episode) -> str:
    return reverse("program-start", kwargs={"episode_id": episode.id})


@pytest.fixture
def url(episode) -> str:
    return reverse(
        "program-assign", kwargs={"episode_id": episode.id, "family": "acl_reconstruction"}
    )


def value_of(content: str, field: str) -> str:
    tag = re.search(rf'<input[^>]*name="{field}"[^>]*>', content).group(0)
    found = re.search(r'value="([^"]*)"', tag)
    return found.group(1) if found else ""


def test_families_show_source_doi_mark_and_who_disagrees(desk, choice_url):
    text = text_of(desk.get(choice_url))

    assert "Nussbaum et al. 2017, Physiotherapy Canada 69(5):1-76, Table 11" in text
    assert "doi 10.3138/ptc.2015-88" in text
    assert "read in the source" in text
    assert "common practice, no source" in text
    assert "Where sources disagree" in text


def test_families_that_fit_the_pathway_come_first(desk, choice_url):
    text = text_of(desk.get(choice_url))

    assert text.index("Knee osteoarthritis") < text.index("After ACL reconstruction")


def test_the_form_is_filled_from_the_family_but_never_the_intensity(desk, url):
    content = desk.get(url).content.decode()

    assert value_of(content, "frequency_hz") == "50"
    assert value_of(content, "phase_duration_us") == "300"
    assert value_of(content, "off_s") == "50"
    assert value_of(content, "first_day") == "2030-03-05"
    assert value_of(content, "ceiling_1") == ""


def test_the_form_says_once_that_it_does_not_prescribe(desk, url):
    text = text_of(desk.get(url))

    assert text.count("The software supports a decision; it does not prescribe.") == 1
    assert "does not drive the stimulator" in text


def test_it_saves_the_first_revision_and_says_the_counts(desk, url, program_post, clinician):
    answer = program_post | {"family": "acl_reconstruction"}

    response = desk.post(url, answer, follow=True)

    revision = Revision.objects.get()
    assert (revision.number, revision.created_by) == (1, clinician)
    assert revision.weekdays == [0, 2, 4]
    assert revision.intensity == [{"channel": 1, "start": 20, "floor": 30, "ceiling": 60}]
    assert revision.exercises[0]["code"] == "quad_set"
    assert revision.family == "acl_reconstruction"
    assert revision.bout_min == 15
    assert "Revision 1 saved: 15 contractions a bout, 30 a day, 90 a week." in text_of(response)


def test_minutes_alone_are_enough(desk, url, program_post):
    desk.post(url, program_post | {"contractions_per_bout": "", "bout_min": "10"})

    assert Revision.objects.get().contractions_per_bout == 10


def test_counting_saves_nothing_and_compares_with_the_sources(desk, url, program_post):
    response = desk.post(url, program_post | {"check": "1", "family": "acl_reconstruction"})

    text = text_of(response)
    assert "Nothing is saved yet" in text
    assert "15 contractions a bout in 15 min (2.5 min with current)" in text
    assert "30 contractions a day, 90 a week in 6 bouts" in text
    assert "Work to rest 1:5" in text
    assert not HomeProgram.objects.exists()


@pytest.mark.parametrize("waveform", ["asymmetric_biphasic", "burst_ac"])
def test_a_waveform_described_in_part_is_counted_only(desk, url, program_post, waveform):
    response = desk.post(url, program_post | {"check": "1", "waveform": waveform})

    assert "15 contractions a bout in 15 min" in text_of(response)
    assert "Counted only" in text_of(response)


def test_the_clinicians_own_words_reach_the_phone(desk, url, program_post):
    desk.post(url, program_post | {"how_1": "Push down as if to crush a sponge."})

    assert Revision.objects.get().exercises[0]["how"] == "Push down as if to crush a sponge."


@pytest.mark.parametrize(
    ("odd", "sentence"),
    [
        ({"first_day": "2030-03-04"}, "The first day is tomorrow"),
        ({"weekdays": []}, "Choose at least one day of the week."),
        ({"contractions_per_bout": ""}, "Give the contractions of a bout, or its minutes."),
        ({"knee_angle_deg": ""}, "State the knee angle or the range."),
        ({"exercise_1": ""}, "Choose at least one exercise."),
        ({"exercise_2": "quad_set"}, "An exercise is chosen twice."),
        ({"ceiling_1": "25"}, "The ceiling is below the start or the floor."),
        ({"ceiling_1": "900"}, "This stimulator gives at most 140 mA."),
        ({"ramp_up_s": "10"}, "The ramps are longer than the on time that holds them."),
        ({"frequency_hz": "900"}, "less than or equal to 200"),
        ({"phase_duration_us": "abc"}, "Enter a number."),
        ({"reason": ""}, "Fill this in."),
    ],
)
def test_a_bad_figure_is_named_and_nothing_is_lost(desk, url, program_post, odd, sentence):
    response = desk.post(url, program_post | odd)

    assert sentence in text_of(response)
    assert "Not saved yet" in text_of(response)
    assert "sitting, shin strapped" in response.content.decode()
    assert not HomeProgram.objects.exists()


def test_a_channel_the_stimulator_does_not_have(desk, url, program_post, clinic):
    from homeprogram.selectors.record import stimulators_of_clinic

    low = next(
        one for one in stimulators_of_clinic(clinic=clinic) if one.name == "Portable, low output"
    )

    response = desk.post(url, program_post | {"stimulator": str(low.id), "start_3": "10"})

    assert "This stimulator has 2 channels." in text_of(response)


def test_an_episode_has_one_home_program(desk, url, program_post):
    desk.post(url, program_post)

    response = desk.post(url, program_post)

    assert "This episode has a home program. Revise it." in text_of(response)
    assert Revision.objects.count() == 1


def test_a_reference_protocol_is_not_on_offer(desk, episode):
    from homeprogram.calc import guidance

    code = guidance.references()[0].code
    kwargs = {"episode_id": episode.id, "family": code}

    assert desk.get(reverse("program-assign", kwargs=kwargs)).status_code == 404
