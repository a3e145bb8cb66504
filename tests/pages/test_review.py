"""The weekly review: through the panel, one patient a page, one key an outcome."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.models import Review, SignedNote
from homeprogram.models import Patient
from homeprogram.services.patients import patient_add
from homeprogram.services.programs import program_pause
from tests.conftest import make_program
from tests.entries import skin
from tests.support.desk import make_contact, make_incident
from tests.support.reading import text_of

RUN = "/desk/review/"
HOUR = timedelta(hours=1)
WEEK = timedelta(days=7)


def page_url(patient) -> str:
    return reverse("review-patient", kwargs={"patient_id": patient.id})


def shown(response) -> str:
    return re.search(r'name="shown" value="([^"]+)"', response.content.decode())[1]


def review(desk, patient, outcome="carry_on", **follow):
    page = desk.get(page_url(patient))
    return desk.post(page_url(patient), {"shown": shown(page), "outcome": outcome}, **follow)


@pytest.fixture
def second(clinician, revision, now) -> Patient:
    """Somebody who was never reviewed either."""
    other = patient_add(by=clinician, name="Abel Calm", now=now, zone="UTC")
    make_program(other, clinician, now)
    return other


def test_the_run_begins_with_the_first_of_the_panel(desk, story, second):
    story.push(story.entry("skin_check", skin(raised=True)))  # gravest first

    response = desk.get(RUN)

    assert response["Location"] == page_url(story.phone.row.patient)


def test_carry_on_finishes_at_once_and_goes_to_the_next(desk, patient, second):
    response = review(desk, patient, follow=True)

    assert Review.objects.get().patient == patient
    assert "Abel Calm" in text_of(response)
    assert "1 of 2 reviewed since Monday" in text_of(response)


def test_where_one_stopped_is_found_by_what_is_not_reviewed_yet(desk, patient, second):
    review(desk, patient)

    assert desk.get(RUN)["Location"] == page_url(second)


def test_later_passes_a_patient_by_and_comes_back(desk, patient, second):
    after = desk.get(f"{RUN}?after={patient.id}")["Location"]
    last = desk.get(f"{RUN}?after={second.id}")["Location"]

    assert {after, last} == {page_url(second), page_url(patient)}


def test_at_the_end_it_says_so(desk, patient, revision):
    response = review(desk, patient, follow=True)

    assert "Nobody waits: everybody here was reviewed since Monday" in text_of(response)
    assert "Wilma Tarn : carry on Ro Desk, Mon 4 Mar, 09:00" in text_of(response)


def test_next_monday_everybody_waits_again(desk, patient, revision, clock, now):
    review(desk, patient)
    clock(now + WEEK)

    assert desk.get(RUN)["Location"] == page_url(patient)


def test_an_entry_that_arrives_while_the_page_is_read_is_new_next_time(desk, story, patient):
    page = desk.get(page_url(patient))
    story.push(story.entry("note_to_clinic", {"text": "It burns.", "wants_contact": False}))

    desk.post(page_url(patient), {"shown": shown(page), "outcome": "carry_on"})

    assert "“It burns.”" in text_of(desk.get(page_url(patient)))


@pytest.mark.parametrize("told", ["", "nonsense"])
def test_a_review_of_nothing_is_refused(desk, patient, revision, told):
    response = desk.post(page_url(patient), {"shown": told, "outcome": "carry_on"}, follow=True)

    assert "This page is too old. Look again." in text_of(response)
    assert not Review.objects.exists()


def test_what_was_shown_of_one_patient_reviews_no_other(desk, patient, second):
    page = desk.get(page_url(patient))

    desk.post(page_url(second), {"shown": shown(page), "outcome": "carry_on"})

    assert not Review.objects.exists()


@pytest.mark.parametrize(
    ("outcome", "form"),
    [
        ("change_dose", "program-revise"),
        ("pause", "program-pause"),
    ],
)
def test_an_outcome_about_the_program_opens_its_form(desk, patient, revision, outcome, form):
    program = revision.program

    response = review(desk, patient, f"{outcome}:{program.episode_id}")

    assert response["Location"] == reverse(form, kwargs={"program_id": program.id}) + "?then=note"
    assert Review.objects.get().outcome == outcome


def test_ending_leads_through_the_discharge_list(desk, patient, episode):
    response = review(desk, patient, f"end:{episode.id}")

    discharge = reverse("episode-discharge", kwargs={"episode_id": episode.id})
    assert response["Location"] == f"{discharge}?then=note"


def test_what_is_saved_there_is_written_up_and_then_comes_the_next(desk, patient, second):
    program = patient.programs.get()
    form = review(desk, patient, f"pause:{program.episode_id}")["Location"]

    note = desk.post(form, {"reason": "travel"})["Location"]
    words = {"assessment": "Travels.", "plan": "Back in a week.", "about_on": "2030-03-04"}
    drawn = re.search(r'name="drawn" value="([^"]+)"', desk.get(note).content.decode())[1]
    response = desk.post(note, words | {"drawn": drawn}, follow=True)

    assert SignedNote.objects.get().plan == "Back in a week."
    assert "Abel Calm" in text_of(response)


def test_what_was_decided_and_not_done_is_listed(desk, patient, revision):
    episode = revision.program.episode
    review(desk, patient, f"change_dose:{episode.id}")

    text = text_of(desk.get(RUN))

    assert "Decided, not recorded yet 1" in text
    assert f"Wilma Tarn : change the dose, {episode.limb.upper()}" in text


def test_what_was_decided_for_one_leg_is_not_done_by_the_other_legs(
    desk, patient, revision, clinician, now
):
    right = make_program(patient, clinician, now, limb="right").program
    review(desk, patient, f"pause:{right.episode_id}")
    pause = {"by": clinician, "reason": "travel", "now": now + HOUR}

    program_pause(program=revision.program, **pause)
    after_the_left = text_of(desk.get(RUN))
    program_pause(program=right, **pause)

    assert "Decided, not recorded yet 1 Wilma Tarn : pause, RIGHT" in after_the_left
    assert "Decided, not recorded yet" not in text_of(desk.get(RUN))


def test_an_outcome_about_another_patients_leg_reviews_nobody(desk, patient, second):
    page = desk.get(page_url(patient))
    other = second.episodes.get()

    response = desk.post(page_url(patient), {"shown": shown(page), "outcome": f"end:{other.id}"})

    assert response.status_code == 404
    assert not Review.objects.exists()


def test_a_contact_is_done_once_somebody_spoke(desk, patient, revision, clinician, now):
    review(desk, patient, "contact")
    make_contact(patient, clinician, now + HOUR, outcome="not_reached")
    after_a_try = text_of(desk.get(RUN))

    make_contact(patient, clinician, now + HOUR)

    assert "Decided, not recorded yet 1" in after_a_try
    assert "Decided, not recorded yet" not in text_of(desk.get(RUN))


def test_an_open_incident_and_an_owed_call_are_told_and_kept_with_the_review(
    desk, patient, revision, clinician, now
):
    make_incident(patient, clinician, now)
    make_contact(patient, clinician, now, at=now - HOUR, outcome="call_back")

    page = text_of(desk.get(page_url(patient)))
    review(desk, patient)
    kept = text_of(desk.get(reverse("review-shown", args=[Review.objects.get().id])))

    assert "Incident open : burn or skin injury, recorded just now." in page
    assert "Call back owed : asked 1 hour ago, the weekly review." in page
    assert "Nothing raised" not in page
    assert "Also open Incident open: burn or skin injury, recorded just now" in kept


def test_history_shows_what_a_review_showed_then(desk, story, patient, patient_url):
    review(desk, patient)
    story.push(story.entry("note_to_clinic", {"text": "Later.", "wants_contact": False}))

    url = reverse("review-shown", kwargs={"review_id": Review.objects.get().id})

    assert f'href="{url}"' in desk.get(patient_url).content.decode()
    assert "Nothing new has arrived" in text_of(desk.get(url))
    assert "Later." not in text_of(desk.get(url))


def test_the_patient_page_counts_as_new_what_the_review_did_not_show(
    desk, story, patient, patient_url
):
    review(desk, patient)
    old = {"for_date": "2029-11-05"}
    told = {"text": "Of last year.", "wants_contact": False}
    story.push(story.entry("note_to_clinic", told, **old))

    text = text_of(desk.get(patient_url))

    assert "1 note to the clinic" in text
    assert "“Of last year.”" in text


def test_something_about_safety_after_the_review_is_named(desk, story, patient):
    review(desk, patient)
    story.push(story.entry("skin_check", skin(raised=True)), after=HOUR)

    assert "About safety, after the review Wilma Tarn" in text_of(desk.get(RUN))


def test_at_the_end_a_safety_flag_that_stays_open_is_named(desk, story, patient):
    story.push(story.entry("skin_check", skin(raised=True)))

    text = text_of(review(desk, patient, follow=True))

    assert "Reviewed, safety still open Wilma Tarn" in text


def test_no_key_passes_by_what_is_about_safety(desk, story, patient):
    calm = desk.get(page_url(patient)).content.decode()
    story.push(story.entry("skin_check", skin(raised=True)))

    page = desk.get(page_url(patient))

    assert 'data-key="c"' in calm
    assert 'data-key="c"' not in page.content.decode()
    assert "Carry on, safety stays open" in text_of(page)


def test_a_run_is_ones_own_patients_or_the_whole_clinic(desk, lead, patient, revision, now):
    patient_of_lead = patient_add(by=lead, name="Osk Fenn", now=now, zone="UTC")
    make_program(patient_of_lead, lead, now)

    own = text_of(desk.get(page_url(patient)))
    desk.get(f"{RUN}?whose=clinic")
    all_of_them = text_of(desk.get(page_url(patient)))

    assert "0 of 1 reviewed since Monday, your patients" in own
    assert "0 of 2 reviewed since Monday, whole clinic" in all_of_them


def test_the_page_sums_the_week_up_beside_the_week_before(desk, story, patient):
    story.push(story.bout("2030-03-05"), claim=True, after=timedelta(days=2))

    text = text_of(desk.get(page_url(patient)))

    assert "Bouts 1 of 1" in text
    assert "At or above the floor 1 of 1 bout logged" in text
    assert "Discomfort 3 of 10" in text
    assert "1 new entry: 1 bout" in text


def test_its_number_of_questions_does_not_grow(desk, story, patient, django_assert_max_num_queries):
    story.push(*(story.bout("2030-03-05") for _ in range(20)), after=timedelta(days=2))

    with django_assert_max_num_queries(30):
        desk.get(page_url(patient))


def test_it_draws_the_charts_of_the_patient_page(desk, story, patient):
    story.push(story.bout("2030-03-05"), claim=True, after=timedelta(days=2))

    review_says = desk.get(page_url(patient)).context["page"].charts
    page_says = desk.get(reverse("patient-detail", kwargs={"patient_id": patient.id}))

    assert review_says["limbs"]
    assert review_says == page_says.context["page"].charts


def test_the_trail_says_days_as_the_desk_does(desk, clinician, revision, patient, now):
    program_pause(
        program=revision.program, by=clinician, reason="travel", now=now, first_day=now.date()
    )

    text = text_of(desk.get(reverse("patient-detail", kwargs={"patient_id": patient.id})))

    assert "From Mon 4 Mar 2030, travel" in text
