"""A flag at the desk: for whom it waits, who looks after it, what is behind it, who was second."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from homeprogram.calc.flags import RULE_VERSION
from homeprogram.models import Flag, FlagEvent
from tests.entries import skin
from tests.support.reading import text_of

HOUR = timedelta(hours=1)
SAID = {"outcome": "nothing_needed", "reason": "Rang: redness only."}


@pytest.fixture
def flag(story) -> Flag:
    """A raised patch on Monday at 9."""
    story.push(story.entry("skin_check", skin(raised=True), for_date="2030-03-04"))
    return Flag.objects.get(reason="skin_reaction")


def address(name: str, flag: Flag) -> str:
    return reverse(name, kwargs={"flag_id": flag.id})


def test_an_unseen_safety_flag_says_for_whom_it_waits(desk, flag, lead, patient_url):
    text = text_of(desk.get(patient_url))

    assert "Waits for Ro Desk, unseen since just now" in text
    assert "goes to Ines Lead too at 13:00" in text


def test_a_clinician_says_that_they_look_after_it(desk, flag, story, clinician, patient_url):
    response = desk.post(address("flag-see", flag), {"known_until": flag.fact_at.isoformat()})

    story.wait(HOUR)
    text = text_of(desk.get(patient_url))
    flag.refresh_from_db()
    assert response.url == f"{patient_url}#flag-{flag.id}"
    assert (flag.state, flag.seen_by) == ("open", clinician)
    assert "Ro Desk looks after it, since 1 hour ago" in text
    assert "Waits for" not in text


def test_what_came_since_the_page_was_opened_is_not_looked_after(desk, flag, story, patient_url):
    shown = flag.fact_at.isoformat()
    story.push(story.entry("skin_check", skin(broken=True)), after=HOUR)

    response = desk.post(address("flag-see", flag), {"known_until": shown}, follow=True)

    flag.refresh_from_db()
    assert "Something newer has arrived on this flag" in text_of(response)
    assert flag.seen_at is None


def test_one_click_leads_from_the_flag_to_the_entry_behind_it(desk, flag, patient_url):
    content = desk.get(patient_url).content.decode()

    behind = re.search(r'Behind it: <a href="#(entry-\d+)">skin check of Mon 4 Mar</a>', content)
    assert behind
    assert f'id="{behind[1]}"' in content


def test_a_flag_says_its_rule_version_limits_inputs_and_what_it_cannot_see(desk, flag, clinic):
    text = text_of(desk.get(address("flag-close", flag)))

    for words in (
        "grade 3 or more at any moment",
        f"version {RULE_VERSION}",
        "Thresholds as usual",
        "Grade 3",
        "Newest fact Mon 4 Mar 2030, 09:00",
        "It cannot see How the skin looks",
    ):
        assert words in text


def test_a_flag_says_when_its_thresholds_are_the_clinics_own(desk, flag, clinic):
    clinic.rules = {"skin_any_grade": 2}
    clinic.save(update_fields=["rules"])

    assert "Thresholds the clinic's own" in text_of(desk.get(address("flag-close", flag)))


def test_closing_asks_what_came_of_it(desk, flag):
    response = desk.post(address("flag-close", flag), {"reason": "Rang."})

    flag.refresh_from_db()
    assert flag.state == "open"
    assert "Choose one." in text_of(response)
    assert "Rang." in text_of(response)


def test_a_closing_shows_on_the_flags_own_page(desk, flag):
    desk.post(address("flag-close", flag), SAID)

    text = text_of(desk.get(address("flag-close", flag)))

    assert "Ro Desk closed it, looked at, nothing needed: “Rang: redness only.”" in text


def test_nothing_newer_is_closed_with_what_was_shown(desk, flag, story):
    shown = flag.fact_at.isoformat()
    story.push(story.entry("skin_check", skin(broken=True)), after=HOUR)

    response = desk.post(address("flag-close", flag), SAID | {"known_until": shown})

    flag.refresh_from_db()
    text = text_of(response)
    assert flag.state == "open"
    assert "Something newer has arrived on this flag" in text
    assert "Rang: redness only." in text
    assert "grade 4 of 4" in text


def test_the_second_to_close_hears_who_was_first_and_loses_no_word(
    desk, lead_desk, flag, lead, patient_url
):
    desk.post(address("flag-close", flag), SAID)

    second = lead_desk.post(
        address("flag-close", flag), {"outcome": "acted_on", "reason": "Seen on the ward."}
    )
    lead_desk.post(address("flag-remark", flag), {"reason": "Seen on the ward."})

    text = text_of(second)
    assert "Ro Desk has closed this flag: “Rang: redness only.”" in text
    assert "Seen on the ward. </textarea>" in second.content.decode().replace("</t", " </t")
    assert "Add my remark" in text
    assert "Ines Lead adds “Seen on the ward.”" in text_of(
        lead_desk.get(address("flag-close", flag))
    )


def test_an_empty_remark_is_no_remark(desk, flag):
    response = desk.post(address("flag-remark", flag), {"reason": " "}, follow=True)

    assert "Nothing was written down." in text_of(response)
    assert not FlagEvent.objects.exists()


def test_a_flag_that_is_not_about_safety_waits_for_nobody(desk, story, patient_url):
    story.push(story.entry("note_to_clinic", {"text": "Call me.", "wants_contact": True}))

    assert "Waits for" not in text_of(desk.get(patient_url))


def test_the_panel_says_for_whom_a_safety_flag_waits(desk, flag, lead):
    assert "Waits for Ro Desk; goes to Ines Lead too at 13:00" in text_of(desk.get("/desk/"))

    desk.post(address("flag-see", flag), {"known_until": flag.fact_at.isoformat()})

    assert "Waits for" not in text_of(desk.get("/desk/"))
