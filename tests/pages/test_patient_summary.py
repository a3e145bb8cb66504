"""The top of the patient page: who, which limb, what is asked, what is open, what is new."""

import re
from datetime import timedelta

import pytest

from homeprogram.models import Patient
from homeprogram.services.programs import program_pause
from homeprogram.services.stimulators import stimulator_set
from tests.entries import skin
from tests.support.reading import text_of

DAY = timedelta(days=1)


def summary_of(response) -> str:
    """From the name down to the links to the sections."""
    return text_of(response).split("Sign out")[1].split("Pair a phone")[0]


def test_the_program_stands_in_one_line_beside_the_limb(desk, patient_url, story):
    told = summary_of(desk.get(patient_url))

    assert "LEFT Week 1, no surgery planned . Revision 1: 1 bout a day on 7 days a week" in told
    assert "15 contractions each, 10 s on, 50 s off, 50 Hz" in told


def test_what_is_not_as_prescribed_yet_is_said(desk, patient_url, revision):
    told = summary_of(desk.get(patient_url))

    assert "revision 1 not yet on the phone stimulator not yet set" in told


def test_a_pause_is_said(desk, patient_url, story, clinician):
    stimulator_set(revision=story.revision, by=clinician, now=story.now)
    program_pause(program=story.revision.program, by=clinician, reason="travel", now=story.now)

    assert "Pause for travel, Mon 4 Mar until somebody ends it" in summary_of(desk.get(patient_url))


def test_a_patient_without_an_episode_says_so(desk, patient_url, patient):
    told = summary_of(desk.get(patient_url))

    assert "No open episode" in told
    assert "no phone paired" in told


def test_holds_and_flags_lead_to_where_they_stand(desk, patient_url, story):
    story.push(story.entry("skin_check", skin(raised=True), for_date="2030-03-04"))

    content = desk.get(patient_url).content.decode()
    top = content.split('class="jump"')[0]

    assert "No bout on the LEFT leg" in top
    assert "Skin reaction LEFT" in top
    for anchor in re.findall(r'href="#([^"]+)"', top.split("<main")[1]):
        assert f'id="{anchor}"' in content


def test_what_came_since_the_review_is_counted_however_old_its_day(desk, patient_url, story):
    Patient.objects.update(reviewed_at=story.now + 58 * DAY)
    late = story.bout("2030-03-05")
    story.push(late, story.entry("skin_check", skin()), after=60 * DAY)

    response = desk.get(patient_url)

    assert "Since the review 2 days ago: 1 bout and 1 skin check" in summary_of(response)
    assert "Tue 5 Mar 2030" in text_of(response).split("Entries of the last")[1]


def test_what_came_is_counted_for_four_weeks_where_the_review_is_older(desk, patient_url, story):
    Patient.objects.update(reviewed_at=story.now)
    story.push(story.bout("2030-03-05"), after=DAY)
    story.push(story.bout("2030-05-02"), after=60 * DAY)

    assert "Reviewed 8 weeks ago. In 28 days: 1 bout" in summary_of(desk.get(patient_url))


def test_nothing_new_is_said_as_nothing(desk, patient_url, story):
    story.push(story.bout("2030-03-05"), after=DAY)
    Patient.objects.update(reviewed_at=story.now + DAY)

    assert "Since the review just now: nothing" in summary_of(desk.get(patient_url))


def test_a_patient_nobody_reviewed_says_so(desk, patient_url, story):
    assert "Not reviewed yet. In 28 days: nothing" in summary_of(desk.get(patient_url))


@pytest.mark.parametrize("days", [1, 3])
def test_the_age_of_the_data_is_said_and_marked_when_it_is_old(desk, patient_url, story, days):
    story.wait(days * DAY)

    content = desk.get(patient_url).content.decode()

    assert f"{days} day{'s' if days > 1 else ''} ago" in content
    assert ('class="stale"' in content) == (days == 3)


def test_every_link_on_top_leads_to_a_section_that_is_there(desk, patient_url, story):
    content = desk.get(patient_url).content.decode()
    links = re.findall(r'href="#([^"]+)"', content.split('class="jump"')[1].split("</nav>")[0])

    assert links[:4] == ["flags", "days", "charts", "episodes"]
    for name in links:
        assert f'<section id="{name}"' in content
