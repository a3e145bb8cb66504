"""Filters, orders, names and pages of the panel; safety is never filtered out of sight."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.selectors import panel as panel_module
from homeprogram.models import Flag, Patient
from homeprogram.services.patients import episode_add, patient_add
from tests.support.reading import text_of

URL = "/desk/"
NAMES = ("Abel Calm", "Bea Dunn", "Wilma Tarn")


@pytest.fixture
def three(patient, lead, clinician, now) -> None:
    """Wilma Tarn and Bea Dunn are Ro's, Abel Calm is the lead's; nobody has a flag."""
    abel = patient_add(by=lead, name="Abel Calm", now=now)
    bea = patient_add(by=clinician, name="Bea Dunn", now=now)
    surgery = {"pathway": "post_operative", "surgery_on": (now - timedelta(days=20)).date()}
    episode_add(patient=bea, limb="left", starts_on=now.date(), now=now, **surgery)
    episode_add(patient=abel, limb="right", pathway="conservative", starts_on=now.date(), now=now)
    Patient.objects.filter(id=abel.id).update(reviewed_at=now - timedelta(days=10))


@pytest.fixture
def missing(three, patient, now) -> None:
    """Wilma Tarn missed days."""
    raise_flag(patient, now)


def raise_flag(patient, now, reason="missed_days", *, safety=False, after=timedelta()) -> None:
    basis = {"days": ["2030-03-01"], "entries": [], "grade": 3, "moment": "after"}
    Flag.objects.create(
        clinic=patient.clinic, patient=patient, reason=reason, rule_version=1, safety=safety,
        fact_at=now, basis=basis | {"day": "2030-03-01", "what": []}, opened_at=now + after,
    )  # fmt: skip


def shown(response) -> list[str]:
    text = text_of(response)
    return sorted((name for name in NAMES if name in text), key=text.index)


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ("", {"Abel Calm", "Bea Dunn", "Wilma Tarn"}),
        ("whose=mine", {"Bea Dunn", "Wilma Tarn"}),
        ("pathway=post_operative", {"Bea Dunn"}),
        ("week=1-2", {"Abel Calm"}),
        ("week=3-6", {"Bea Dunn"}),
        ("unreviewed=7", {"Abel Calm", "Bea Dunn", "Wilma Tarn"}),
        ("unreviewed=14", {"Bea Dunn", "Wilma Tarn"}),
        ("whose=mine&pathway=conservative", set()),
        ("whose=nobody&week=%00&page=x", {"Abel Calm", "Bea Dunn", "Wilma Tarn"}),
    ],
)
def test_the_panel_shows_who_fits_what_is_asked(desk, three, asked, names):
    assert set(shown(desk.get(f"{URL}?{asked}"))) == names


@pytest.mark.parametrize(
    ("reason", "names"),
    [
        ("missed_days", ["Wilma Tarn"]),
        ("raised", ["Wilma Tarn"]),
        ("quiet", ["Abel Calm", "Bea Dunn"]),
        ("safety", []),
        ("no_contact", []),
    ],
)
def test_the_panel_shows_who_has_the_reason_asked_for(desk, missing, reason, names):
    assert sorted(shown(desk.get(f"{URL}?reason={reason}"))) == names


def test_other_orders_keep_safety_on_top(desk, three, patient, now):
    raise_flag(patient, now, "skin_reaction", safety=True)

    response = desk.get(f"{URL}?sort=name")

    assert shown(response) == ["Wilma Tarn", "Abel Calm", "Bea Dunn"]
    assert "safety flags first, as ever; then by name" in text_of(response)


def test_a_safety_flag_outside_the_view_is_told(desk, three, patient, now):
    raise_flag(patient, now, "skin_reaction", safety=True)

    response = desk.get(f"{URL}?pathway=post_operative")

    assert "1 patient with a safety flag is not in this view" in text_of(response)
    assert shown(desk.get(f"{URL}?reason=safety")) == ["Wilma Tarn"]


def test_a_name_is_found_without_accents_and_stands_in_no_address(desk, three, clinician, now):
    patient_add(by=clinician, name="Žofie Quill", now=now)

    response = desk.post(URL, {"name": "zofie"})

    assert "Žofie Quill" in text_of(response)
    assert shown(response) == []
    assert 'method="get" action="/desk/"' in response.content.decode()
    assert "?zofie" not in response.content.decode()


def test_a_search_goes_through_the_whole_clinic(desk, three):
    assert shown(desk.post(f"{URL}?whose=mine", {"name": "abel"})) == ["Abel Calm"]


@pytest.mark.parametrize("nothing", ["", "  ", "\u0301"])
def test_a_search_for_nothing_leaves_what_is_chosen(desk, three, nothing):
    response = desk.post(f"{URL}?whose=mine&pathway=post_operative", {"name": nothing})

    assert shown(response) == ["Bea Dunn"]


def test_a_search_with_too_many_finds_leads_to_no_page_without_the_name(desk, three, monkeypatch):
    monkeypatch.setattr(panel_module, "PAGE", 2)

    response = desk.post(URL, {"name": "n"})

    assert sorted(shown(response)) == ["Bea Dunn", "Wilma Tarn"]
    response = desk.post(URL, {"name": "a"})
    assert "3 of 3" not in text_of(response)
    assert "Give more of the name to find the others." in text_of(response)
    assert "page=2" not in response.content.decode()


def test_a_name_that_nobody_has_is_told(desk, three):
    assert "Nobody of that name" in text_of(desk.post(URL, {"name": "nemo"}))


def test_another_clinics_names_are_not_found(outside_desk, three, outsider, now):
    patient_add(by=outsider, name="Osk Fenn", now=now)

    assert shown(outside_desk.post(URL, {"name": "wilma"})) == []


def test_a_view_is_kept_and_shown_where_the_address_asks_for_nothing(desk, three):
    desk.post(reverse("panel-keep"), {"whose": "mine", "sort": "name", "colour": "red"})

    assert shown(desk.get(URL)) == ["Bea Dunn", "Wilma Tarn"]
    assert len(shown(desk.get(f"{URL}?whose="))) == 3


def test_a_view_is_each_clinicians_own_and_can_be_dropped(desk, lead_desk, three):
    desk.post(reverse("panel-keep"), {"whose": "mine"})

    assert len(shown(lead_desk.get(URL))) == 3

    desk.post(reverse("panel-keep"), {})
    assert len(shown(desk.get(URL))) == 3


def test_a_long_panel_comes_in_pages_and_counts_go_on(desk, three, monkeypatch):
    monkeypatch.setattr(panel_module, "PAGE", 2)

    first, second = desk.get(f"{URL}?sort=name"), desk.get(f"{URL}?sort=name&page=2")

    assert shown(first) == ["Abel Calm", "Bea Dunn"]
    assert shown(second) == ["Wilma Tarn"]
    assert "?sort=name&amp;page=2" in first.content.decode()
    assert '<ol class="rows" start="3">' in second.content.decode()
    assert "Page 2 of 2" in text_of(second)


def test_a_page_beyond_the_last_is_the_last(desk, three):
    assert len(shown(desk.get(f"{URL}?page=99"))) == 3


def test_silent_jobs_are_told_on_top(desk, three):
    assert "The server's clock has never judged flags" in text_of(desk.get(URL))


def test_a_clinic_of_which_no_phone_was_heard_for_a_day_is_told(desk, story):
    story.push(claim=True)
    assert "No phone of this clinic" not in text_of(desk.get(URL))

    story.wait(timedelta(hours=25))
    assert "No phone of this clinic was heard since 1 day ago" in text_of(desk.get(URL))


def test_a_small_line_says_its_numbers_and_draws_a_gap_where_no_bout_was(desk, story):
    for day, felt in (("2030-03-05", 4), ("2030-03-06", 5), ("2030-03-08", 6)):
        story.push(story.bout(day, discomfort=felt), after=timedelta(days=5), claim=True)

    content = desk.get(URL).content.decode()

    assert (
        'aria-label="Discomfort: 4 to 6 of 10 as the most of a day, last 6; 3 of 14 days"'
        in content
    )
    assert content.count("<polyline") == content.count("<circle") == 2
    assert "Small lines: current 0 to 40 mA, discomfort 0 to 10" in text_of(desk.get(URL))
