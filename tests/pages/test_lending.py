"""The lending log: add, lend, take back; what stands against it is said in the form."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.models import Loan, Stimulator
from homeprogram.selectors.record import stimulators_of_clinic
from tests.support.desk import make_loan, make_own
from tests.support.reading import text_of

DAY = timedelta(days=1)


def lend_url(patient) -> str:
    return reverse("loan-open", kwargs={"patient_id": patient.id})


def test_a_stimulator_is_added_with_its_check(desk, clinic):
    kind = str(stimulators_of_clinic(clinic=clinic)[0].id)
    check = {"checked_on": "2030-01-10", "check_due_on": "2031-01-10"}

    desk.post(reverse("lending-add"), {"asset_number": "KN-12", "profile": kind} | check)

    page = text_of(desk.get(reverse("lending-list")))
    assert "KN-12" in page
    assert "Checked Thu 10 Jan 2030, next due Fri 10 Jan 2031" in page
    assert "in the store" in page


def test_a_check_without_the_next_one_is_not_taken(desk, clinic):
    kind = str(stimulators_of_clinic(clinic=clinic)[0].id)
    said = {"asset_number": "KN-12", "profile": kind, "checked_on": "2030-01-10"}

    assert "Say when the next check is due." in text_of(desk.post(reverse("lending-add"), said))
    assert not Stimulator.objects.exists()


def test_a_loan_stands_on_the_patient_page(desk, patient, patient_url, clinician, now):
    own = make_own(clinician, now)

    desk.post(
        lend_url(patient),
        {"stimulator": str(own.id), "due_back_on": "2030-05-27", "went_with": "two leads"},
    )

    page = text_of(desk.get(patient_url))
    assert "KN-01" in page
    assert "with two leads. Lent Mon 4 Mar 2030, 09:00 by Ro Desk, due back Mon 27 May 2030" in page


def test_an_unchecked_one_is_offered_with_a_word_and_refused(desk, patient, clinician, now):
    own = make_own(clinician, now, checked_on=None)
    offered = text_of(desk.get(lend_url(patient)))

    answer = desk.post(lend_url(patient), {"stimulator": str(own.id), "due_back_on": "2030-05-27"})

    assert "(not fit to lend)" in offered
    assert "Have it checked first. Choose another one, or ask a lead" in text_of(answer)
    assert not Loan.objects.exists()


def test_a_lead_is_asked_for_a_reason_and_a_clinician_is_not(desk, lead_desk, patient):
    field = "override_reason"
    make_own(patient.clinician, patient.created_at)

    assert field in lead_desk.get(lend_url(patient)).context["form"].fields
    assert field not in desk.get(lend_url(patient)).context["form"].fields


def test_another_clinics_stimulator_cannot_be_lent(desk, patient, outsider, now):
    foreign = make_own(outsider, now)
    make_own(patient.clinician, now)

    desk.post(lend_url(patient), {"stimulator": str(foreign.id), "due_back_on": "2030-05-27"})

    assert not Loan.objects.exists()


def test_it_comes_back_through_the_patient_page(desk, patient, patient_url, clinician, now):
    loan = make_loan(patient, clinician, now)
    back = reverse("loan-return", kwargs={"loan_id": loan.id})

    assert back in desk.get(patient_url).content.decode()
    desk.post(back, {"note": "complete", "cleaned": "on"})

    assert "Earlier loans (1)" in text_of(desk.get(patient_url))
    assert desk.get(back).status_code == 404


def test_one_that_is_late_says_so_on_both_pages(desk, patient, patient_url, now, clock):
    make_loan(patient, patient.clinician, now, due_back_on=now.date() + DAY)
    clock(now + 3 * DAY)

    for address in (patient_url, reverse("lending-list")):
        assert "not back in time" in text_of(desk.get(address))


@pytest.fixture
def detail(clinician, now) -> str:
    own = make_own(clinician, now)
    return reverse("lending-detail", kwargs={"own_id": own.id})


def test_what_was_done_is_written_down_with_who_did_it(desk, detail):
    desk.post(detail, {"act": "quarantined", "on": "2030-03-04", "note": "cuts out"})

    page = text_of(desk.get(detail))
    assert "in quarantine cuts out" in page
    assert "Mon 4 Mar 2030, put in quarantine: cuts out (Ro Desk)" in page


def test_a_quarantine_without_a_reason_is_not_taken(desk, detail):
    answer = desk.post(detail, {"act": "quarantined", "on": "2030-03-04", "note": ""})

    assert "Say why." in text_of(answer)
