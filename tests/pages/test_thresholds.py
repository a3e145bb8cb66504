"""Thresholds of the clinic and of one patient: shown by rule, tried before they are saved."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from homeprogram.models import Flag
from homeprogram.services.flag_acts import flag_close
from homeprogram.services.flags import patient_flags_refresh
from tests.entries import skin
from tests.pages.test_clinic import RULES, rules
from tests.support.reading import text_of

SHIFTS = {"missed_in_a_row": "4", "reason": "works shifts"}
DAY = timedelta(days=1)
AFTER_TWO_MISSED = datetime(2030, 3, 7, 13, tzinfo=UTC)


@pytest.fixture
def url(patient) -> str:
    return reverse("patient-rules", kwargs={"patient_id": patient.id})


@pytest.fixture
def missed(story):
    """Two days missed, the 5th and 6th."""
    story.push(after=AFTER_TWO_MISSED - story.now, claim=True)
    return story


def test_the_clinic_sees_what_other_thresholds_would_have_raised(lead_desk, missed, clinic):
    response = lead_desk.post(RULES, rules(clinic, missed_in_a_row=4) | {"preview": "yes"})

    clinic.refresh_from_db()
    text = text_of(response)
    assert "These thresholds would have raised 0 flags ; those that stand, 1." in text
    assert "Missed days 1 0" in text
    assert clinic.rules == {}
    assert response.context["form"]["missed_in_a_row"].value() == "4"


def test_a_preview_refuses_what_could_not_be_saved(lead_desk, clinic):
    response = lead_desk.post(RULES, rules(clinic, missed_of_last=9) | {"preview": "yes"})

    assert "More days than the window holds." in text_of(response)
    assert "would have raised" not in text_of(response).replace("they would have raised", "")


def test_one_patient_is_tried_without_a_reason(desk, missed, patient, url):
    response = desk.post(url, {"missed_in_a_row": "4", "preview": "yes"})

    patient.refresh_from_db()
    assert "would have raised 0 flags ; those that stand, 1." in text_of(response)
    assert patient.rules == {}


@pytest.mark.parametrize("of_clinic", [True, False])
def test_silence_says_where_it_is_set_that_it_cannot_be_tried(lead_desk, url, of_clinic):
    text = text_of(lead_desk.get(RULES if of_clinic else url))

    assert "Without word from the phone for" in text
    assert "No preview: of each phone the record keeps the newest contact" in text


def test_a_preview_tells_how_often_silence_came_up(desk, story, patient, url):
    story.push(after=DAY, claim=True)
    for days in (9, 20):  # found by the clock, ended by the phone
        patient_flags_refresh(patient_id=patient.id, now=story.now + (days - 1) * DAY)
        story.push(after=days * DAY, claim=True)
    said = silences(desk, url)
    story.wait(40 * DAY)
    later = silences(desk, url)

    assert said == "“No contact” came up 2 times by the hours that held then"
    assert later == "“No contact” came up 1 time by the hours that held then"


def silences(desk, url) -> str:
    text = text_of(desk.post(url, {"no_contact_h": "72", "preview": "yes"}))
    return text[text.index("“No contact” came up") : text.index("; what other hours")]


def test_what_is_set_for_a_patient_is_shown_with_who_and_why(desk, patient, url, patient_url):
    desk.post(url, SHIFTS)

    text = text_of(desk.get(patient_url))

    assert "Due days missed in a row: 4 days (the clinic's: 2)" in text
    assert "Ro Desk, Mon 4 Mar 2030, 09:00: works shifts" in text


def test_an_emptied_field_is_the_clinics_again(desk, patient, url, patient_url):
    desk.post(url, SHIFTS)
    desk.post(url, {"missed_in_a_row": "", "reason": "days again"})

    patient.refresh_from_db()
    assert patient.rules == {}
    assert "The clinic's, nothing set for this patient." in text_of(desk.get(patient_url))


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"missed_in_a_row": "4", "reason": ""}, "Fill this in."),
        ({"skin_any_grade": "4", "reason": "x"}, "less than or equal to 3"),
        ({"missed_of_last": "9", "reason": "x"}, "More days than the window holds."),
    ],
)
def test_what_may_not_be_set_is_refused(desk, patient, url, told, sentence):
    response = desk.post(url, told)

    patient.refresh_from_db()
    assert sentence in text_of(response)
    assert patient.rules == {}


def test_the_form_says_what_the_clinic_has(desk, clinic, url):
    clinic.rules = {"no_contact_h": 72}
    clinic.save(update_fields=["rules"])

    assert "The clinic's: 72" in text_of(desk.get(url))


def test_a_lead_finds_the_change_in_the_history(desk, lead_desk, url):
    desk.post(url, SHIFTS)

    text = text_of(lead_desk.get(reverse("clinic-history")))

    assert "Thresholds of Wilma Tarn" in text
    assert "Due days missed in a row: as usual → 4" in text
    assert "works shifts" in text


def test_the_page_of_outcomes_counts_every_closing(desk, story, clinician, now):
    for n, outcome in enumerate(["acted_on", "wrong", "acted_on"]):
        later = now + timedelta(hours=2 * n + 1)
        story.push(story.entry("skin_check", skin(raised=True)), after=later - now)
        flag_close(
            flag=Flag.objects.get(reason="skin_reaction"),
            by=clinician,
            outcome=outcome,
            reason="looked",
            now=later + timedelta(hours=1),
        )
    story.wait(timedelta(days=1))

    text = text_of(desk.get(reverse("rule-outcomes")))

    assert "Skin reaction safety 67 % 2 of 3 0 1 0 Mon 4 Mar 2030" in text
    assert "Goal: 59 %" in text


def test_without_a_closing_there_is_nothing_to_count(desk):
    assert "No flag has been closed yet." in text_of(desk.get(reverse("rule-outcomes")))
