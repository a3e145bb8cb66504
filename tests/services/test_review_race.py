"""Reviews while a phone pushes: every entry is shown by exactly one review, or still new."""

import pytest
from django.db import connection
from django.utils import timezone

from clinician.models import Review
from clinician.selectors.review_page import review_page
from clinician.services.reviews import review_finish
from homeprogram.models import Patient
from homeprogram.services.patients import patient_add
from tests.conftest import PairedPhone, make_clinic, make_clinician
from tests.support.concurrency import at_once, committed
from tests.support.pushes import push_at

PUSHES = 20
REVIEWS = 12


def told(page) -> list[str]:
    return [said for day in page.arrived.telling for line in day.lines for said in line.says]


def page_now(patient_id):
    patient = Patient.objects.select_related("clinic").get(id=patient_id)
    return review_page(patient=patient, now=timezone.now())


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_every_entry_is_shown_by_one_review_or_still_new(django_db_setup, django_db_blocker):
    with committed(django_db_blocker):
        now = timezone.now()
        by = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        patient = patient_add(by=by, name="Wilma Tarn", now=now, zone="UTC")
        phone = PairedPhone(patient, by, now)
        shown: list[str] = []

        def push() -> None:
            for number in range(PUSHES):
                note = {"text": f"note {number}", "wants_contact": False}
                push_at(phone, now, phone.entry("note_to_clinic", note))

        def review() -> None:
            for _ in range(REVIEWS):
                page = page_now(patient.id)
                review_finish(
                    patient=patient,
                    by=by,
                    outcome="carry_on",
                    up_to=page.up_to,
                    after=page.mark.review.id if page.mark.review else None,
                    shown=page.shown,
                    now=timezone.now(),
                )
                shown.extend(told(page))

        broken = [one for one in at_once(2, lambda n: (push, review)[n]()) if one]

        assert broken == []
        assert sorted(shown + told(page_now(patient.id))) == sorted(
            f"“note {number}”" for number in range(PUSHES)
        )
        assert Review.objects.count() == REVIEWS
