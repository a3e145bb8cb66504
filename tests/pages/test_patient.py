"""The patient page: everything behind a row, each fact with where it came from."""

import re
from datetime import timedelta

import pytest

from homeprogram.calc.flags import RULE_VERSION
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.stimulators import stimulator_set
from tests.entries import BOUT, entry_id, skin
from tests.support.reading import text_of

DAY = timedelta(days=1)


def test_it_shows_the_program_and_its_state(desk, patient_url, revision):
    text = text_of(desk.get(patient_url))

    assert "Wilma Tarn" in text
    assert "Revision 1" in text
    assert "not yet on the phone" in text
    assert "stimulator not yet set" in text
    assert "15 contractions in 15 min" in text
    assert "10 s : 50 s, ramps 2 s up, 1 s down, inside the on time" in text
    assert "channel 1: start 20 mA, floor 30 mA, ceiling 60 mA" in text
    assert "65°" in text


def test_a_named_revision_and_a_set_stimulator_are_said(desk, patient_url, story, clinician):
    stimulator_set(revision=story.revision, by=clinician, now=story.now, note="all six values")

    text = text_of(desk.get(patient_url))

    assert "on the phone, in effect from Tue 5 Mar 2030" in text
    assert "set and read back Mon 4 Mar, 09:00, Ro Desk: all six values" in text
    assert "not yet" not in text


def test_an_entry_says_what_when_and_from_which_phone(desk, patient_url, story):
    story.push(story.bout("2030-03-05"), after=timedelta(hours=27))

    text = text_of(desk.get(patient_url))

    assert "15 contractions in 15 min, from 08:00" in text
    assert "discomfort 3 of 10" in text
    assert "knee pain 1 before, 2 after, of 10" in text
    assert "channel 1 40 mA" in text
    assert "made 08:20 by patient, received 12:00" in text
    assert "phone, number 1" in text


def test_a_helpers_entry_names_the_helper(desk, patient_url, story):
    said = {"swelling": "some", "knee_pain": 4}
    entry = story.entry("morning_check", said, logged_by={"who": "helper", "name": "Gus"})
    story.push(entry, after=DAY)

    assert "by helper Gus" in text_of(desk.get(patient_url))


def test_a_correction_stands_under_what_it_corrects(desk, patient_url, story):
    first = story.bout("2030-03-05")
    right = {"of": entry_id(first), "payload": BOUT | {"contractions": 12}, "reason": "miscounted"}
    story.push(first, story.entry("correction", right), after=DAY)

    response = desk.get(patient_url)

    assert re.search(r"<s[^>]*>15 contractions", response.content.decode())
    assert "Corrected , received Tue 5 Mar, 09:00: miscounted" in text_of(response)
    assert "12 contractions in 15 min" in text_of(response)


def test_of_a_chain_of_corrections_the_last_alone_counts_and_the_others_are_struck(
    desk, patient_url, story
):
    first = story.bout("2030-03-05")
    said = [BOUT | {"contractions": count} for count in (12, 13)]
    second = {"of": entry_id(first), "payload": said[0], "reason": "miscounted"}
    second = story.entry("correction", second)
    third = {"of": entry_id(second), "payload": said[1], "reason": "again"}
    story.push(first, second, story.entry("correction", third), after=DAY)

    content = desk.get(patient_url).content.decode()

    for struck in (15, 12):
        assert re.search(rf"<s[^>]*>{struck} contractions", content)
    assert "<li>13 contractions in 15 min, from 08:00</li>" in content
    assert "made 08:20, phone, number 3" in content


def test_an_entry_from_another_zone_says_so(desk, patient_url, story):
    said = {"swelling": "some", "knee_pain": 4}
    story.push(story.entry("morning_check", said, zone="Asia/Tokyo", offset_min=540), after=DAY)

    assert "made 08:20 (Asia/Tokyo) by patient" in text_of(desk.get(patient_url))


def test_a_withdrawn_entry_is_struck_and_says_so(desk, patient_url, story):
    first = story.bout("2030-03-05")
    gone = story.entry("withdrawal", {"of": entry_id(first), "reason": "wrong patient"})
    story.push(first, gone, after=DAY)

    content = desk.get(patient_url).content.decode()

    assert re.search(r"<s[^>]*>15 contractions", content)
    assert "withdrawn" in content
    assert "wrong patient" in content


def test_an_entry_filled_in_later_is_marked(desk, patient_url, story):
    late = {"for_date": "2030-03-05", "local_time": "2030-03-08T10:00:00"}
    entry = story.entry("bout", BOUT, revision_id=str(story.revision.id), **late)
    story.push(entry, after=4 * DAY)

    response = desk.get(patient_url)

    assert "made Fri 8 Mar, 10:00" in text_of(response)
    assert text_of(response).count("done filled in later 1 of 1 bout") == 1
    assert response.content.decode().count('href="#mark-later"') == 2  # the day, the legend


def test_a_bout_written_down_before_noon_of_the_next_day_is_not_late(desk, patient_url, story):
    next_day = {"for_date": "2030-03-05", "local_time": "2030-03-06T11:59:00"}
    entry = story.entry("bout", BOUT, revision_id=str(story.revision.id), **next_day)
    story.push(entry, after=4 * DAY)

    assert "done 1 of 1 bout" in text_of(desk.get(patient_url))


def test_a_withdrawn_bout_marks_no_day_as_filled_in(desk, patient_url, story):
    late = {"for_date": "2030-03-05", "local_time": "2030-03-08T10:00:00"}
    entry = story.entry("bout", BOUT, revision_id=str(story.revision.id), **late)
    gone = story.entry("withdrawal", {"of": entry_id(entry), "reason": "dreamt it"})
    story.push(entry, gone, after=4 * DAY)

    marks = desk.get(patient_url).content.decode().count('href="#mark-later"')
    assert marks == 1  # the legend


def test_two_bouts_of_one_limb_at_one_time_are_marked_as_a_possible_repeat(
    desk, patient_url, story
):
    story.push(story.bout("2030-03-05"), story.bout("2030-03-05"), after=DAY + timedelta(hours=3))

    text = text_of(desk.get(patient_url))

    assert text.count("possible repeat") == 2


def test_a_repeat_that_was_withdrawn_marks_nothing(desk, patient_url, story):
    first, second = story.bout("2030-03-05"), story.bout("2030-03-05")
    gone = story.entry("withdrawal", {"of": entry_id(second), "reason": "told twice"})
    story.push(first, second, gone, after=DAY)

    assert "possible repeat" not in text_of(desk.get(patient_url))


def test_a_repeat_whose_time_was_corrected_marks_nothing(desk, patient_url, story):
    first, second = story.bout("2030-03-05"), story.bout("2030-03-05")
    right = BOUT | {"started_at": "2030-03-05T11:00"}
    said = {"of": entry_id(second), "payload": right, "reason": "wrong hour"}
    story.push(first, second, story.entry("correction", said), after=DAY + timedelta(hours=3))

    assert "possible repeat" not in text_of(desk.get(patient_url))


def test_a_held_entry_is_shown_as_it_came(desk, patient_url, story):
    story.push(story.entry("bout", {"nonsense": 1}))

    text = text_of(desk.get(patient_url))

    assert "Held: kept as they came" in text
    assert "nonsense" in text


def test_a_flag_shows_its_basis_and_what_it_cannot_see(desk, patient_url, story):
    story.push(after=5 * DAY, claim=True)

    text = text_of(desk.get(patient_url))

    assert "Missed days" in text
    assert f"2 due days in a row, or 3 of the last 7 (version {RULE_VERSION}" in text
    assert "Bouts done and never logged" in text


def test_a_hold_says_what_it_covers_and_offers_the_lift(desk, patient_url, story):
    story.push(story.entry("skin_check", skin(raised=True), for_date="2030-03-04"))

    response = desk.get(patient_url)

    words = "No bout on the LEFT leg : skin check, grade 3 of 4, Mon 4 Mar"
    assert words in text_of(response)
    assert response.content.decode().count('name="holds"') == 1


def test_the_calendar_names_every_day(desk, patient_url, story):
    story.wait(4 * DAY)

    content = desk.get(patient_url).content.decode()
    boxes = re.findall(r'<td class="mark (\w+)', content)

    assert len(boxes) == 3 * 7 + 5
    assert boxes[-5:] == ["not_due", "not_known_yet", "not_known_yet", "still_open", "still_open"]


@pytest.mark.parametrize(
    ("ahead", "words"),
    [
        (timedelta(minutes=7), "Its clock is 7 minutes ahead"),
        (-timedelta(hours=3), "Its clock is 3 hours behind"),
    ],
)
def test_a_phone_whose_clock_is_off_is_noted(desk, patient_url, story, ahead, words):
    story.push(clock_off=ahead)

    assert words in text_of(desk.get(patient_url))


def test_a_clock_off_by_a_little_is_not_worth_a_word(desk, patient_url, story):
    story.push(clock_off=timedelta(minutes=4))

    assert "Its clock is" not in text_of(desk.get(patient_url))


def test_a_phone_that_is_gone_says_how(desk, patient_url, phone, now):
    phone_revoke(phone=phone.row, state="stolen", now=now)

    assert "lost or stolen" in text_of(desk.get(patient_url))


def test_no_consent_is_said_at_the_top(desk, patient_url, patient):
    assert "No consent is in force" in text_of(desk.get(patient_url))


def test_the_title_names_nobody(desk, patient_url):
    title = re.search(r"<title>(.*?)</title>", desk.get(patient_url).content.decode()).group(1)

    assert "Wilma" not in title


def test_half_a_year_of_entries_costs_eighteen_queries_and_the_sign_in(
    desk, patient_url, story, django_assert_max_num_queries
):
    for week in range(26):
        after = DAY + week * 7 * DAY
        story.push(story.bout((story.now + after).date().isoformat()), after=after)
    desk.get(patient_url)  # the session is written once a minute

    with django_assert_max_num_queries(18 + 2):  # two of them ask who is there
        desk.get(patient_url)
