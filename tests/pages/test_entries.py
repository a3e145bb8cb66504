"""The whole log of one patient, some weeks a page."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.selectors import patient_page
from tests.entries import BOUT, entry_id, skin
from tests.support.reading import text_of

DAY = timedelta(days=1)


@pytest.fixture
def url(patient) -> str:
    return reverse("patient-entries", kwargs={"patient_id": patient.id})


@pytest.fixture
def told(story):
    """A bout on 5 March and one five weeks later, on 9 April."""
    early, late = story.bout("2030-03-05"), story.bout("2030-04-09")
    story.push(early, after=DAY)
    story.push(late, after=36 * DAY)
    return early


def test_the_newest_weeks_come_first_and_lead_to_those_before(desk, url, told):
    newest = desk.get(url)
    earlier = desk.get(url + re.search(r'href="(\?until=[^"]+)"', newest.content.decode())[1])

    assert "Tue 9 Apr 2030" in text_of(newest)
    assert "Tue 5 Mar 2030" not in text_of(newest)
    assert "Tue 5 Mar 2030" in text_of(earlier)
    assert "Earlier days" not in text_of(earlier)
    assert "Later days" in text_of(earlier)


def test_a_correction_made_later_stands_under_what_it_corrects(desk, url, story, told):
    said = {"of": entry_id(told), "reason": "miscounted", "payload": BOUT | {"contractions": 9}}
    story.push(story.entry("correction", said, for_date="2030-04-09"), after=36 * DAY)

    page = text_of(desk.get(f"{url}?until=2030-03-10"))

    assert "Corrected , received Tue 9 Apr" in page
    assert "miscounted" not in text_of(desk.get(url))


@pytest.mark.parametrize("asked", ["tomorrow", "0001-01-01", "9999-12-31", ""])
def test_an_odd_day_is_no_error(desk, url, told, asked):
    assert desk.get(f"{url}?until={asked}").status_code == 200


def test_without_an_entry_it_says_so(desk, url):
    assert "No entry is about these days." in text_of(desk.get(url))


def test_a_hold_that_stands_for_weeks_leads_to_its_entry(desk, patient_url, story):
    story.push(story.entry("skin_check", skin(raised=True), for_date="2030-03-04"))
    story.wait(60 * DAY)

    content = desk.get(patient_url).content.decode()
    link = re.search(r'placed [^(]+\(<a href="([^"]+)#(entry-\d+)"', content)

    assert f'id="{link[2]}"' not in content
    assert f'id="{link[2]}"' in desk.get(link[1]).content.decode()


def test_the_patient_page_leads_here_and_lists_no_more_days_than_it_can(
    desk, url, patient_url, story, monkeypatch
):
    monkeypatch.setattr(patient_page, "OLDER_DAYS", 2)
    days = ["2030-03-05", "2030-03-06", "2030-03-07", "2030-03-08"]
    story.push(*map(story.bout, days), after=20 * DAY)  # all at once, after two weeks

    page = desk.get(patient_url)

    assert f'href="{url}"' in page.content.decode()
    assert "Older entries: 2 more days" in text_of(page)
    assert "2 more days, about which something arrived lately, are there." in text_of(page)
    assert all(f"{int(day[-2:])} Mar 2030" in text_of(desk.get(url)) for day in days)
