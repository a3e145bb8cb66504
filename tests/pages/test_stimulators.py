"""Stimulator profiles: what the clinic's stimulators can deliver."""

import pytest
from django.urls import reverse

from homeprogram.models import StimulatorProfile
from tests.support.reading import text_of

LIST, ADD = "/desk/stimulators/", "/desk/stimulators/add/"


@pytest.fixture
def figures() -> dict:
    return {
        "name": "Two channels, levels",
        "channels": "2",
        "unit": "level",
        "max_intensity": "40",
        "min_frequency_hz": "2",
        "max_frequency_hz": "120",
        "max_phase_duration_us": "350",
        "waveform": "asymmetric_biphasic",
    }


def edit_url(profile) -> str:
    return reverse("stimulator-edit", kwargs={"stimulator_id": profile.id})


@pytest.fixture
def used(revision):
    return revision.stimulator


@pytest.fixture
def unused(clinic, revision):
    return StimulatorProfile.objects.filter(clinic=clinic).exclude(id=revision.stimulator_id)[0]


def as_posted(profile, **changes) -> dict:
    names = ("name", "channels", "unit", "max_intensity", "min_frequency_hz")
    more = ("max_frequency_hz", "max_phase_duration_us", "waveform")
    return {name: getattr(profile, name) for name in names + more} | changes


def test_the_starter_set_is_listed_with_its_limits(desk):
    text = text_of(desk.get(LIST))

    assert "Portable, low output" in text
    assert "Highest intensity 60 mA" in text
    assert "Clinic-lent, four channels" in text


def test_a_profile_is_added_and_offered_on_the_list(desk, clinic, figures):
    response = desk.post(ADD, figures, follow=True)

    profile = StimulatorProfile.objects.get(clinic=clinic, name="Two channels, levels")
    assert (profile.unit, profile.max_intensity) == ("level", 40)
    assert "Two channels, levels" in text_of(response)


@pytest.mark.parametrize(
    ("odd", "sentence"),
    [
        ({"name": "Portable, low output"}, "The clinic has a stimulator of this name."),
        ({"max_frequency_hz": "1"}, "The highest frequency is below the lowest."),
        ({"unit": "volts"}, "Select a valid choice"),
        ({"channels": "0"}, "greater than or equal to 1"),
        ({"name": ""}, "Fill this in."),
    ],
)
def test_a_profile_that_makes_no_sense_is_refused(desk, clinic, figures, odd, sentence):
    response = desk.post(ADD, figures | odd)

    assert sentence in text_of(response)
    assert StimulatorProfile.objects.filter(clinic=clinic).count() == 3


def test_another_clinic_may_use_the_same_name(desk, outsider, figures):
    StimulatorProfile.objects.create(
        clinic=outsider.clinic,
        name="Two channels, levels",
        max_intensity=1,
        min_frequency_hz=1,
        max_frequency_hz=2,
        max_phase_duration_us=50,
    )

    assert desk.post(ADD, figures).status_code == 302


def test_a_profile_is_corrected(desk, unused):
    response = desk.post(edit_url(unused), as_posted(unused, max_intensity=77))

    unused.refresh_from_db()
    assert response.status_code == 302
    assert unused.max_intensity == 77


@pytest.mark.parametrize("change", [{"unit": "level"}, {"waveform": "monophasic"}])
def test_what_a_revision_was_written_in_never_changes(desk, used, change):
    before = (used.unit, used.waveform)

    response = desk.post(edit_url(used), as_posted(used, **change))

    used.refresh_from_db()
    assert "A home program already uses this profile." in text_of(response)
    assert (used.unit, used.waveform) == before


def test_a_profile_in_use_may_still_be_corrected_otherwise(desk, used):
    desk.post(edit_url(used), as_posted(used, max_phase_duration_us=500))

    used.refresh_from_db()
    assert used.max_phase_duration_us == 500


def test_an_unused_profile_may_change_its_unit(desk, unused):
    desk.post(edit_url(unused), as_posted(unused, unit="level"))

    unused.refresh_from_db()
    assert unused.unit == "level"


def test_a_profile_in_use_says_so(desk, used):
    assert "in use" in text_of(desk.get(LIST))
    assert "Its unit and its waveform stay" in text_of(desk.get(edit_url(used)))


def test_another_clinics_profile_is_not_there(outside_desk, used):
    assert outside_desk.get(edit_url(used)).status_code == 404
    assert "Portable, low output" in text_of(outside_desk.get(LIST))  # its own starter set
