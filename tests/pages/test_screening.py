"""The screening page: no answer beforehand, nothing hidden, and what comes of it."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.selectors.screening_words import notices
from homeprogram.calc.guidance import screening_conditions
from homeprogram.calc.screening import Answer
from homeprogram.models import Screening
from homeprogram.services.patients import episode_add
from homeprogram.services.programs import pause_end, program_pause
from tests.conftest import make_screening
from tests.support.pushes import push_at
from tests.support.reading import text_of

CODES = [one.code for one in screening_conditions()]


@pytest.fixture
def unscreened(patient, now):
    return episode_add(
        patient=patient, limb="left", pathway="conservative", starts_on=now.date(), now=now
    )


@pytest.fixture
def url(unscreened) -> str:
    return url_of(unscreened)


def url_of(episode) -> str:
    return reverse("screening-record", kwargs={"episode_id": episode.id})


@pytest.fixture
def all_no() -> dict:
    answers = {f"present_{code}": "no" for code in CODES}
    return {"on": "2030-03-04", "occasion": "first"} | answers


def test_every_condition_is_asked_and_none_is_answered(desk, url):
    page = desk.get(url).content.decode()

    assert page.count('type="radio"') == 2 * len(CODES) == 54
    assert "checked" not in page


def test_each_question_shows_grade_action_source_mark_and_disagreement(desk, url):
    text = text_of(desk.get(url))

    assert "contraindication Do not use without a written specialist opinion on file." in text
    assert "Houghton, Nussbaum & Hoens 2010" in text
    assert "doi 10.3138/ptc.62.5 (read)" in text
    assert "Recalled after case reports of muscle breakdown (memory)" in text
    assert "Sources disagree: Makers say keep away" in text


def test_the_details_are_there_without_scripts(desk, url):
    page = desk.get(url).content.decode()

    assert page.count("<textarea") == len(CODES)
    assert 'name="opinion_by_active_implant"' in page
    assert 'name="opinion_on_malignancy"' in page
    assert 'name="opinion_by_active_dvt"' not in page


def test_all_no_is_clear_and_opens_the_way(desk, url, all_no, clinician, patient_url):
    response = desk.post(url, all_no, follow=True)

    text = text_of(response)
    assert "Screening recorded: clear." in text
    assert "Assign a home program" in text
    kept = Screening.objects.get()
    assert (kept.outcome, kept.recorded_by) == ("clear", clinician)


def test_a_clot_shuts_it_and_says_why(desk, url, all_no, patient_url):
    response = desk.post(url, all_no | {"present_active_dvt": "yes"}, follow=True)

    text = text_of(response)
    assert "Screening recorded: do not use." in text
    assert "Stands in the way: Deep vein thrombosis or thrombophlebitis now." in text
    assert "No dose may be prescribed: the latest screening says do not use." in text
    assert "Assign a home program" not in text


def test_a_precaution_with_its_reason_is_shown_with_who_decided(desk, url, all_no):
    found = {"present_pregnancy": "yes", "note_pregnancy": "Week 20; thigh only, midwife told."}

    text = text_of(desk.post(url, all_no | found, follow=True))

    assert "with precautions" in text
    assert "To heed: Pregnancy." in text
    assert "Decided: Week 20; thigh only, midwife told." in text
    assert "Ro Desk" in text


def test_an_opinion_on_file_is_shown_with_name_and_date(desk, url, all_no):
    found = {
        "present_active_implant": "yes",
        "note_active_implant": "Lead check done.",
        "opinion_by_active_implant": "Dr Ama Lind",
        "opinion_on_active_implant": "2030-02-20",
    }

    text = text_of(desk.post(url, all_no | found, follow=True))

    assert "Lead check done. Opinion: Dr Ama Lind, Wed 20 Feb 2030." in text
    assert "Assign a home program" in text


@pytest.mark.parametrize(
    ("odd", "sentence"),
    [
        ({"present_falls": ""}, "Answer yes or no."),
        ({"present_falls": "yes"}, "Risk of falls: write what you decided and why."),
        (
            {"present_malignancy": "yes", "opinion_by_malignancy": "Dr Ama Lind"},
            "name the specialist and the date.",
        ),
        (
            {
                "present_malignancy": "yes",
                "note_malignancy": "Asked.",
                "opinion_by_malignancy": "Dr Ama Lind",
                "opinion_on_malignancy": "2030-03-05",
            },
            "The opinion is later than the screening.",
        ),
        ({"on": "2030-03-05"}, "A screening cannot be on a day to come."),
        ({"occasion": "party"}, "Select a valid choice."),
    ],
)
def test_a_gap_is_named_and_what_was_answered_stays(desk, url, all_no, odd, sentence):
    answered = all_no | {"present_epilepsy": "yes"}

    response = desk.post(url, answered | odd)

    assert sentence in text_of(response)
    assert "Not saved yet" in text_of(response)
    assert response.context["form"]["present_epilepsy"].value() == "yes"
    assert not Screening.objects.exists()


def test_a_note_of_something_answered_with_no_is_not_kept(desk, url, all_no):
    desk.post(url, all_no | {"note_falls": "typed before I changed my mind"})

    assert Screening.objects.get().answers["falls"]["note"] == ""


def test_without_a_screening_the_patient_page_asks_for_one(desk, unscreened, patient_url):
    text = text_of(desk.get(patient_url))

    assert "Screen this limb before a home program is assigned." in text
    assert "Assign a home program" not in text


def test_the_program_form_is_refused_without_one(desk, unscreened, program_post):
    address = reverse("program-assign", kwargs={"episode_id": unscreened.id, "family": "scratch"})

    response = desk.post(address, program_post)

    assert "no screening is on record" in text_of(response)


def test_after_a_stop_report_the_page_asks_again(desk, patient_url, episode, phone, now):
    report = phone.entry("stop_report", {"symptoms": ["numb"]})
    assert "Screen again:" not in text_of(desk.get(patient_url))

    push_at(phone, now + timedelta(hours=1), report)

    assert "Screen again: a stop report came after it." in text_of(desk.get(patient_url))
    assert desk.get(url_of(episode)).context["form"]["occasion"].value() == "stop_report"


def test_a_stay_in_hospital_asks_again_but_bars_nothing(
    desk, revision, clinician, now, patient_url
):
    later = now + timedelta(hours=2)
    pause = program_pause(program=revision.program, by=clinician, reason="readmission", now=later)
    pause_end(pause=pause, by=pause.created_by, now=later)

    text = text_of(desk.get(patient_url))

    assert "Screen again: the patient went back to hospital after it." in text
    assert "Revise" in text


def test_a_running_program_against_its_screening_is_named(
    desk, episode, clinician, now, patient_url
):
    clot = {"active_dvt": Answer(present=True)}
    make_screening(episode, clinician, now + timedelta(minutes=5), "change_told", **clot)

    text = text_of(desk.get(patient_url))

    assert "A home program runs although this screening says do not use." in text
    assert "Earlier screenings (1)" in text


def test_what_was_yes_last_time_is_shown_and_asked_again(desk, unscreened, url, clinician, now):
    make_screening(
        unscreened, clinician, now, falls=Answer(present=True, note="Walks with a stick.")
    )

    response = desk.get(url)

    assert "Last time: yes. Walks with a stick." in text_of(response)
    assert "checked" not in response.content.decode()


def test_whoever_prescribes_is_told_first_what_to_heed(unscreened, clinician, now):
    assert notices(episode=unscreened, now=now) == [
        "Screen this limb before a home program is assigned."
    ]
    stick = Answer(present=True, note="Walks with a stick.")

    make_screening(unscreened, clinician, now, falls=stick)

    assert notices(episode=unscreened, now=now) == ["To heed, from the screening: Risk of falls."]


def test_a_clear_screening_needs_no_words(unscreened, clinician, now):
    make_screening(unscreened, clinician, now)

    assert notices(episode=unscreened, now=now) == []
