"""A held entry is settled by a person who looked, and kept as it came."""

import pytest
from django.urls import reverse

from homeprogram.models import Entry, Flag, HeldEntry
from homeprogram.services.pairing import phone_revoke

UNUSABLE = {"ordinal": 0, "reason": "pain"}


@pytest.fixture
def held(phone, episode) -> HeldEntry:
    phone.push(phone.entry("not_done", UNUSABLE, episode_id=str(episode.id)))
    return HeldEntry.objects.get()


def address(held) -> str:
    return reverse("held-settle", kwargs={"held_id": held.id})


def test_the_patients_page_leads_to_it(desk, held):
    page = desk.get(reverse("patient-detail", kwargs={"patient_id": held.patient_id}))

    assert address(held) in page.content.decode()


def test_settling_keeps_the_text_and_clears_the_flag(desk, held, clinician):
    answer = desk.post(address(held), {"decision": "settle", "note": "Asked her: a rest day."})

    held.refresh_from_db()
    assert answer.status_code == 302
    assert held.settled_by == clinician
    assert held.settled_note == "Asked her: a rest day."
    assert '"ordinal": 0' in held.raw
    assert Flag.objects.get(reason="held_entry").state == "cleared"


def test_settling_needs_a_word_on_what_was_found(desk, held):
    answer = desk.post(address(held), {"decision": "settle", "note": "  "})

    held.refresh_from_db()
    assert answer.status_code == 200
    assert held.settled_at is None


def test_it_is_settled_once(desk, held):
    desk.post(address(held), {"decision": "settle", "note": "Done."})

    assert (
        desk.post(address(held), {"decision": "settle", "note": "Done again."}).status_code == 404
    )


def test_an_entry_of_a_replaced_phone_is_taken_in_on_a_clinicians_word(
    desk, phone, episode, clinician, now
):
    phone_revoke(phone=phone.row, state="replaced", now=now)
    phone.push(phone.entry("not_done", UNUSABLE | {"ordinal": 1}, episode_id=str(episode.id)))
    held = HeldEntry.objects.get()

    desk.post(address(held), {"decision": "use"})

    assert Entry.objects.get().kind == "not_done"
    assert HeldEntry.objects.get().settled_by == clinician


def test_an_entry_that_cannot_be_used_says_why_on_the_form(desk, held):
    answer = desk.post(address(held), {"decision": "use"})

    assert "It still cannot be used" in answer.content.decode()
    assert Entry.objects.count() == 0


def test_another_clinic_sees_nothing(client, held, outsider):
    client.force_login(outsider.user)

    assert client.post(address(held), {"note": "Mine?"}).status_code == 404
