"""Notes on the desk: drawn, signed, listed, printed, added to."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.models import Addendum, Draft, SignedNote
from tests.support.reading import text_of

WORDS = {"assessment": "Doing well.", "plan": "Carry on.", "about_on": "2030-03-04"}
DAY = timedelta(days=1)


@pytest.fixture
def add_url(patient, revision) -> str:
    return reverse("note-add", kwargs={"patient_id": patient.id})


def drawn(desk, url) -> dict:
    page = desk.get(url).content.decode()
    objective = re.search(r'name="objective"[^>]*>\s*([^<]*)', page)[1]
    return {"drawn": re.search(r'name="drawn" value="([^"]+)"', page)[1], "objective": objective}


@pytest.fixture
def note_page(desk):
    """What the page of the only note says."""
    return lambda: text_of(desk.get(reverse("note-detail", args=[SignedNote.objects.get().id])))


@pytest.fixture
def note(desk, add_url) -> SignedNote:
    desk.post(add_url, WORDS | drawn(desk, add_url))
    return SignedNote.objects.get()


def test_the_form_says_what_the_machine_drew_and_until_when(desk, add_url):
    text = text_of(desk.get(add_url))

    assert "drawn by machine" in text
    assert "Mon 25 Feb 2030 to Mon 4 Mar 2030, as known on Mon 4 Mar 2030, 09:00" in text
    assert "nobody's word until you have read it and signed" in text


def test_a_signed_note_stands_in_the_trail_of_decisions(desk, note, patient_url):
    text = text_of(desk.get(patient_url))

    assert "Note signed Ro Desk, Mon 4 Mar 2030, 09:00 Carry on." in text


def test_a_signed_note_says_who_signed_what(note, note_page):
    text = note_page()

    assert "Signed by Ro Desk, clinician, Mon 4 Mar 2030, 09:00 (UTC)." in text
    assert "Objective drawn by machine, read and signed" in text


def test_what_the_signer_changed_is_told_apart(desk, add_url, note_page):
    desk.post(add_url, WORDS | drawn(desk, add_url) | {"objective": "Seen in the room."})

    text = note_page()

    assert "Objective drawn by machine, changed and signed Seen in the room." in text
    assert "What the machine had drawn Mon 25 Feb 2030" in text


@pytest.mark.parametrize("part", ["assessment", "plan"])
def test_nothing_is_signed_without_a_persons_words(desk, add_url, part):
    response = desk.post(add_url, WORDS | drawn(desk, add_url) | {part: ""})

    assert "Fill this in." in text_of(response)
    assert not SignedNote.objects.exists()


def test_what_the_machine_drew_cannot_be_made_up(desk, add_url):
    response = desk.post(add_url, WORDS | {"drawn": "made-up"})

    assert response.status_code == 404
    assert not SignedNote.objects.exists()


def test_a_late_entry_is_marked(desk, add_url, note_page):
    desk.post(add_url, WORDS | drawn(desk, add_url) | {"about_on": "2030-03-01"})

    assert "late entry" in note_page()


def test_an_addendum_stands_under_the_note_with_its_own_signature(
    desk, note, note_page, clock, now
):
    clock(now + DAY)
    desk.post(reverse("addendum-add", kwargs={"note_id": note.id}), {"text": "Other knee."})

    text = note_page()

    assert "Addendum. Other knee." in text
    assert "Signed by Ro Desk, clinician, Tue 5 Mar 2030, 09:00 (UTC)." in text
    assert "Doing well." in text


def test_an_empty_addendum_is_refused(desk, note):
    response = desk.post(reverse("addendum-add", kwargs={"note_id": note.id}), {"text": " "})

    assert "Fill this in." in text_of(response)
    assert not Addendum.objects.exists()


def test_a_note_on_paper_carries_the_clinics_cautions(note, note_page):
    text = note_page()

    assert "What the patient was told to heed" in text
    assert "makes no diagnosis and prescribes nothing" in text


def test_a_note_that_was_begun_is_kept_and_goes_when_it_is_signed(desk, add_url, patient):
    typed = WORDS | drawn(desk, add_url) | {"plan": "Half a"}
    desk.post(reverse("draft-save", kwargs={"draft": f"note-{patient.id}"}), typed)

    going_on = desk.get(f"{add_url}?draft=1")
    assert "Half a" in text_of(going_on)

    desk.post(f"{add_url}?draft=1", typed)
    assert not Draft.objects.exists()
    assert SignedNote.objects.get().plan == "Half a"


def test_a_draft_outlives_the_key_that_sealed_what_was_drawn(desk, add_url, patient):
    typed = WORDS | drawn(desk, add_url) | {"plan": "Half a"}
    desk.post(reverse("draft-save", kwargs={"draft": f"note-{patient.id}"}), typed | {"drawn": "x"})

    page = text_of(desk.get(f"{add_url}?draft=1"))

    assert "Half a" in page
    assert "as known on Mon 4 Mar 2030, 09:00" in page


def test_three_clicks_lead_from_the_panel_to_a_saved_note(desk, patient, patient_url, add_url):
    """The patient's name, "Write a note", "Sign"."""
    assert f'href="{patient_url}"' in desk.get("/desk/").content.decode()
    assert f'href="{add_url}"' in desk.get(patient_url).content.decode()

    desk.post(add_url, WORDS | drawn(desk, add_url))

    assert SignedNote.objects.count() == 1
