"""A review covers what its page showed, by the log's own count, and nothing later."""

from datetime import timedelta

import pytest

from clinician.models import Review
from clinician.selectors.review_mark import mark_of
from clinician.selectors.review_page import review_page
from clinician.services.reviews import review_finish
from homeprogram.errors import RuleBroken
from homeprogram.models import Patient
from tests.conftest import make_clinician
from tests.support.pushes import push_at

NOTE = {"text": "The knee is calm.", "wants_contact": False}
HOUR = timedelta(hours=1)


def page_of(patient, now):
    return review_page(patient=Patient.objects.get(id=patient.id), now=now)


def finish(page, patient, by, now, outcome="carry_on") -> Review:
    return review_finish(
        patient=patient,
        by=by,
        outcome=outcome,
        up_to=page.up_to,
        after=page.mark.review.id if page.mark.review else None,
        shown=page.shown,
        now=now,
    )


def new_texts(page) -> list[str]:
    return [said for day in page.arrived.telling for line in day.lines for said in line.says]


def test_before_the_first_review_everything_is_new(patient, phone, now):
    push_at(phone, now, phone.entry("note_to_clinic", NOTE))

    page = page_of(patient, now)

    assert new_texts(page) == ["“The knee is calm.”"]
    assert page.since == "never reviewed: everything is new"


def test_after_a_review_nothing_of_it_is_new(patient, phone, clinician, now):
    push_at(phone, now, phone.entry("note_to_clinic", NOTE))
    finish(page_of(patient, now), patient, clinician, now)

    page = page_of(patient, now + HOUR)

    assert page.arrived.count == 0
    assert page.arrived.words == "nothing new has arrived"


def test_what_comes_between_the_page_and_the_review_stays_new(patient, phone, clinician, now):
    push_at(phone, now, phone.entry("note_to_clinic", NOTE))
    page = page_of(patient, now)
    push_at(phone, now, phone.entry("note_to_clinic", NOTE | {"text": "Now it burns."}))

    finish(page, patient, clinician, now + HOUR)

    assert new_texts(page_of(patient, now + HOUR)) == ["“Now it burns.”"]


def test_an_entry_about_an_old_day_does_not_hide_behind_the_mark(patient, phone, clinician, now):
    push_at(phone, now, phone.entry("note_to_clinic", NOTE))
    finish(page_of(patient, now), patient, clinician, now)
    old = phone.entry("note_to_clinic", NOTE | {"text": "Back then."}, for_date="2030-02-20")
    push_at(phone, now - HOUR, old)  # even by a clock of ours that went back

    assert new_texts(page_of(patient, now)) == ["“Back then.”"]


def test_a_review_sets_the_patients_place_on_the_panel(patient, revision, clinician, now):
    finish(page_of(patient, now), patient, clinician, now)

    assert Patient.objects.get(id=patient.id).reviewed_at == now


def test_the_same_review_sent_twice_is_one(patient, revision, clinician, now):
    page = page_of(patient, now)

    first = finish(page, patient, clinician, now)
    again = finish(page, patient, clinician, now + HOUR)

    assert again == first
    assert Review.objects.count() == 1


def test_a_colleagues_review_in_between_is_a_refusal(patient, revision, clinician, clinic, now):
    page = page_of(patient, now)
    colleague = make_clinician(clinic, "noor@larkrise.example", now, name="Noor Physio")
    finish(page, patient, colleague, now)

    with pytest.raises(RuleBroken, match="Noor Physio reviewed this patient") as refusal:
        finish(page, patient, clinician, now)

    assert refusal.value.code == "review_meanwhile"


@pytest.mark.parametrize("up_to", [-1, 10_000])
def test_nobody_reviews_what_is_not_in_the_log(patient, revision, clinician, now, up_to):
    with pytest.raises(RuleBroken) as refusal:
        review_finish(
            patient=patient,
            by=clinician,
            outcome="carry_on",
            up_to=up_to,
            after=None,
            shown={},
            now=now,
        )

    assert refusal.value.code == "review_impossible"
    assert mark_of(patient=patient).version == 0


def test_a_review_keeps_what_its_page_said(patient, phone, clinician, now):
    push_at(phone, now, phone.entry("note_to_clinic", NOTE))
    finish(page_of(patient, now), patient, clinician, now)
    push_at(phone, now, phone.entry("note_to_clinic", NOTE | {"text": "Later."}))

    kept = Review.objects.get().shown

    assert kept["told"] == ["Tue 5 Mar 2030, Note to the clinic: “The knee is calm.”"]
    assert kept["limbs"][0]["limb"] == "LEFT"
