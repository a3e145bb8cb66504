"""An episode ends through its list, leaves a letter, and can be opened again."""

import pytest
from django.urls import reverse

from clinician.models import Discharge, Draft
from homeprogram.models import Decision, Episode, Pause, Phone
from homeprogram.selectors.plans import context_of
from homeprogram.services.patients import episode_add
from tests.support.desk import make_loan
from tests.support.reading import text_of

ANSWERS = {
    "reason": "Goal reached.",
    "home_plan": "Stairs every day.",
    "measures": "done",
    "plan": "done",
    "stimulator": "done",
    "reminders": "done",
    "phone": "done",
    "letter": "not_needed",
    "because_letter": "none asked for",
}


@pytest.fixture
def url(episode) -> str:
    return reverse("episode-discharge", kwargs={"episode_id": episode.id})


@pytest.fixture
def ended(desk, url) -> Discharge:
    desk.post(url, ANSWERS)
    return Discharge.objects.get()


def test_the_list_names_what_is_not_met(desk, url):
    text = text_of(desk.get(url))

    assert "Only 0 of the usual 6 weeks since the start are over." in text
    assert "No limb symmetry index is known." in text


@pytest.mark.parametrize("item", ["measures", "plan", "stimulator", "reminders", "phone", "letter"])
def test_nothing_ends_while_an_item_is_open(desk, url, item):
    response = desk.post(url, ANSWERS | {item: ""})

    assert "Choose one." in text_of(response)
    assert Episode.objects.get().ended_on is None


@pytest.mark.parametrize(
    ("answer", "sentence"),
    [
        ({"stimulator": "not_needed"}, "Say why it is not needed."),
        ({"home_plan": ""}, "Write the plan, or say why none is needed."),
        ({"reason": ""}, "Fill this in."),
    ],
)
def test_an_item_is_done_or_not_needed_because(desk, url, answer, sentence):
    response = desk.post(url, ANSWERS | answer)

    assert sentence in text_of(response)
    assert Episode.objects.get().ended_on is None


def test_a_stimulator_is_not_back_while_the_lending_log_has_it_lent(
    desk, url, patient, clinician, now
):
    make_loan(patient, clinician, now)

    refused = text_of(desk.post(url, ANSWERS))
    before = Episode.objects.get().ended_on
    desk.post(url, ANSWERS | {"stimulator": "not_needed", "because_stimulator": "comes on Friday"})

    assert "Still lent: KN-01. Take it back first, or say why not." in refused
    assert before is None
    assert Episode.objects.get().ended_on == now.date()


def test_with_the_whole_list_the_episode_ends(ended, now, clinician):
    assert Episode.objects.get().ended_on == now.date()
    assert ended.discharged_by == clinician
    assert {"code": "letter", "state": "not_needed", "because": "none asked for"} in ended.items


def test_the_phone_is_unpaired_with_it(desk, url, phone):
    desk.post(url, ANSWERS)

    assert Phone.objects.get().state == "replaced"  # what it still holds comes into custody


def test_the_phone_stays_where_the_other_limb_goes_on(desk, url, phone, patient, now):
    episode_add(
        patient=patient, limb="right", pathway="conservative", starts_on=now.date(), now=now
    )

    desk.post(url, ANSWERS)

    assert Phone.objects.get().state == "active"


def test_the_list_is_kept_until_it_is_sent(desk, url, episode):
    kept = reverse("draft-save", kwargs={"draft": f"discharge-{episode.id}"})
    desk.post(kept, {"home_plan": "Half a plan"})

    assert "Half a plan" in text_of(desk.get(url))
    desk.post(url, ANSWERS)
    assert not Draft.objects.exists()


def test_the_letter_is_plain_and_diagnoses_nothing(desk, ended, patient_url):
    letter = reverse("discharge-letter", kwargs={"discharge_id": ended.id})
    text = text_of(desk.get(letter))

    assert letter in desk.get(patient_url).content.decode()
    assert "Goal reached." in text
    assert "Stairs every day." in text
    assert "They are no diagnosis; whoever goes on with the care may review them." in text


def test_the_letter_tells_the_last_dose(desk, url, revision):
    desk.post(url, ANSWERS)
    letter = reverse("discharge-letter", kwargs={"discharge_id": Discharge.objects.get().id})

    assert "Last dose. 1 bout a day on 7 days a week, " in text_of(desk.get(letter))


@pytest.mark.parametrize(("answer", "warned"), [("done", True), ("not_needed", False)])
def test_who_opens_an_episode_again_hears_that_no_phone_is_paired(desk, url, phone, answer, warned):
    desk.post(url, ANSWERS | {"phone": answer, "because_phone": "it comes in later"})
    again = reverse("episode-reopen", kwargs={"episode_id": Episode.objects.get().id})

    assert ("No phone is paired." in text_of(desk.get(again))) is warned


def test_an_episode_opened_again_comes_back_paused_with_its_reason(
    desk, ended, episode, clock, now
):
    from datetime import timedelta

    later = now + timedelta(days=10)
    clock(later)
    again = reverse("episode-reopen", kwargs={"episode_id": episode.id})
    assert "Fill this in." in text_of(desk.post(again, {"reason": ""}))

    desk.post(again, {"reason": "The knee gives way again."})

    assert Episode.objects.get().ended_on is None
    assert Pause.objects.get().first_day == now.date() + timedelta(days=1)
    assert Decision.objects.filter(kind="reopen").get().words == "The knee gives way again."
    context = context_of(patient=episode.patient, now=later, days_back=12)
    between = context.days(context.episodes[0], now.date() + timedelta(days=2), later.date())
    assert {day.status for day in between} <= {"paused", "not_due"}


def test_a_pause_ended_before_it_begins_keeps_its_first_day(desk, url, revision, now):
    desk.post(url, ANSWERS)
    again = reverse("episode-reopen", kwargs={"episode_id": Episode.objects.get().id})
    desk.post(again, {"reason": "mistake"})
    end = reverse("pause-end", kwargs={"pause_id": Pause.objects.get().id})

    asked = text_of(desk.get(end))
    said = text_of(desk.post(end, follow=True))

    assert "It begins on Tue 5 Mar, which stays its only paused day." in asked
    assert "Tue 5 Mar is the last paused day. Bouts are due again after it." in said
    assert "Pause, Tue 5 Mar to Tue 5 Mar. The episode had ended. End the pause" in said


def test_it_is_not_opened_beside_another_of_that_limb(desk, ended, episode, patient, now):
    episode_add(patient=patient, limb="left", pathway="conservative", starts_on=now.date(), now=now)

    again = reverse("episode-reopen", kwargs={"episode_id": episode.id})
    response = desk.post(again, {"reason": "mistake"})

    assert "Another episode of the left limb is open." in text_of(response)
