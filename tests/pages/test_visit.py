"""The visit form: little is needed, what is given is whole, and it leads on to a revision."""

import pytest
from django.urls import reverse

from clinician.models import CounterReading
from clinician.services.lending import loan_return
from clinician.services.visits import CounterSeen
from homeprogram.models import SupervisedBout, Visit
from homeprogram.selectors.record import stimulators_of_clinic
from tests.support.desk import make_loan, make_visit, seen_bout
from tests.support.reading import text_of


@pytest.fixture
def url(patient) -> str:
    return reverse("visit-add", kwargs={"patient_id": patient.id})


@pytest.fixture
def visit(episode) -> dict:
    return {
        "kind": "clinic",
        "episode": str(episode.id),
        "on": "2030-03-04",
        "at": "08:30",
        "minutes": "30",
        "note": "Skin is calm again.",
    }


@pytest.fixture
def bout(clinic) -> dict:
    return {
        "bout_stimulator": str(stimulators_of_clinic(clinic=clinic)[0].id),
        "started": "08:35",
        "bout_min": "15",
        "contractions": "15",
        "start_1": "18",
        "floor_1": "32",
        "ceiling_1": "55",
        "contraction": "sustained",
        "discomfort": "4",
        "skin_before": "0",
        "skin_after": "1",
    }


def as_offered(form) -> dict:
    """What is sent when nothing is touched."""
    values = {name: form[name].value() for name in form.fields}
    return {name: one for name, one in values.items() if one is not None and one is not False}


def test_a_visit_is_read_on_the_patient_page(desk, url, visit, patient_url):
    measures = {"flexion_deg": "118", "girth_cm": "48.5", "girth_at_cm": "10", "swelling": "trace"}

    response = desk.post(url, visit | measures)

    assert response["Location"] == f"{patient_url}#visits"
    page = text_of(desk.get(patient_url))
    assert "Mon 4 Mar 2030, at the clinic LEFT leg, Ro Desk" in page
    assert "Flexion 118°" in page
    assert "Thigh girth 48.5 cm" in page
    assert "trace: a small wave" in page


def test_a_supervised_bout_is_read_with_its_unit(desk, url, visit, bout, patient_url):
    desk.post(url, visit | bout)

    page = text_of(desk.get(patient_url))
    assert "15 contractions in 15 min from 08:35" in page
    assert "start 18 mA, floor 32 mA, ceiling 55 mA" in page
    assert "grade 0 before, grade 1 after, of 4" in page


@pytest.mark.parametrize("left_out", ["skin_after", "bout_stimulator", "floor_1"])
def test_half_a_bout_is_not_taken(desk, url, visit, bout, left_out):
    form = desk.post(url, visit | bout | {left_out: ""}).context["form"]

    assert set(form.errors) == {left_out}
    assert not Visit.objects.exists()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"on": "2030-03-20"}, "A visit cannot be on a day to come."),
        ({"episode": "not-mine"}, "Select a valid choice"),
        ({"note": ""}, "Write a note, a measure or a supervised bout."),
        ({"lag_deg": "95"}, "less than or equal to 90"),
        ({"girth_cm": "48"}, "Say how far above the kneecap"),
        ({"counter": "12"}, "Say whose counter this is."),
    ],
)
def test_an_odd_visit_is_not_recorded(desk, url, visit, changes, said):
    page = text_of(desk.post(url, visit | changes))

    assert "Not saved yet" in page
    assert said in page
    assert not Visit.objects.exists()


def test_the_place_of_the_last_girth_is_offered_again(desk, url, episode, clinician, now):
    make_visit(episode, clinician, now, measures={"girth_cm": 48, "girth_at_cm": 12})

    form = desk.get(url).context["form"]

    assert (form["girth_at_cm"].value(), form["girth_cm"].value()) == (12, None)


def test_a_counter_is_offered_where_the_profile_has_one(desk, url, clinic):
    before = desk.get(url).context["form"].fields["counter_of"].choices
    profile = stimulators_of_clinic(clinic=clinic)[0]
    profile.counter = "hours"
    profile.save()

    after = desk.get(url).context["form"].fields["counter_of"].choices

    assert len(after) == len(before) + 1


def test_a_correction_starts_from_the_version_before(desk, episode, clinician, patient_url, now):
    first = make_visit(
        episode, clinician, now, measures={"lag_deg": 50}, bout=seen_bout(episode.clinic, now)
    )
    correct = reverse("visit-correct", kwargs={"visit_id": first.id})
    form = desk.get(correct).context["form"]
    times = {"on": "2030-03-04", "at": "08:50", "started": "08:55"}

    desk.post(correct, as_offered(form) | times | {"lag_deg": 5})

    assert form["ceiling_1"].value() == 55
    page = text_of(desk.get(patient_url))
    assert "Corrected; what was written before" in page
    assert "Quadriceps lag 5°" in page
    assert SupervisedBout.objects.count() == 2
    assert desk.get(correct).status_code == 404


def test_a_correction_keeps_whose_counter_was_read_though_it_is_back_since(
    desk, episode, patient, clinician, now
):
    loan = make_loan(patient, clinician, now)
    profile = loan.stimulator.profile
    profile.counter = "hours"
    profile.save()
    counter = CounterSeen(profile=profile, own=loan.stimulator, value=100)
    first = make_visit(episode, clinician, now, counter=counter)
    loan_return(loan=loan, by=clinician, now=now)
    correct = reverse("visit-correct", kwargs={"visit_id": first.id})
    form = desk.get(correct).context["form"]

    desk.post(correct, as_offered(form) | {"on": "2030-03-04", "at": "08:50", "counter": 103})

    newest = CounterReading.objects.get(value=103)
    assert newest.stimulator == loan.stimulator


def test_its_figures_start_the_next_revision(desk, episode, clinician, patient_url, now):
    visit = make_visit(episode, clinician, now, bout=seen_bout(episode.clinic, now))
    revise = reverse("program-revise", kwargs={"program_id": episode.program.id})

    assert f"{revise}?visit={visit.id}" in desk.get(patient_url).content.decode()
    form = desk.get(revise, {"visit": visit.id}).context["form"]
    assert [form[name].value() for name in ("start_1", "floor_1", "ceiling_1")] == [18, 32, 55]


@pytest.mark.parametrize("asked", ["", "none", "0b7c1a52-0000-4000-8000-000000000000"])
def test_no_or_a_foreign_visit_leaves_the_revision_as_it_was(desk, episode, asked):
    revise = reverse("program-revise", kwargs={"program_id": episode.program.id})

    form = desk.get(revise, {"visit": asked}).context["form"]

    assert form["floor_1"].value() == 30
