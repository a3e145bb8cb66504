"""Patients go to a colleague: names first, one row each, and back for ten minutes."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.models import Handover
from homeprogram.models import Patient
from homeprogram.services.clinics import clinician_invite
from homeprogram.services.patients import patient_add
from tests.support.reading import text_of

URL = "/desk/handover/"


@pytest.fixture
def two(patient, clinician, now) -> list[str]:
    return [str(patient.id), str(patient_add(by=clinician, name="Bea Dunn", now=now).id)]


@pytest.fixture
def hand_over(desk, two, lead):
    return lambda: desk.post(URL, {"patient": two, "to": lead.id, "sure": "yes"}, follow=True)


def carers() -> set[str]:
    return set(Patient.objects.values_list("clinician__name", flat=True))


def undo(browser):
    batch = Handover.objects.first().batch
    return browser.post(reverse("handover-undo", kwargs={"batch_id": batch}), follow=True)


def test_names_and_count_are_shown_before_anything_happens(desk, two, lead):
    text = text_of(desk.post(URL, {"patient": two}))

    assert "Hand over 2 patients" in text
    assert "Wilma Tarn , now with Ro Desk" in text
    assert "Bea Dunn" in text
    assert not Handover.objects.exists()


def test_patients_go_to_the_colleague_and_each_leaves_a_row(hand_over, two, lead, clinician):
    text = text_of(hand_over())

    assert "2 patients handed over to Ines Lead." in text
    assert carers() == {"Ines Lead"}
    rows = Handover.objects.values_list("patient__name", "before__name", "after__name", "by__name")
    assert set(rows) == {(n, "Ro Desk", "Ines Lead", "Ro Desk") for n in ("Wilma Tarn", "Bea Dunn")}


def test_it_can_be_undone_for_ten_minutes(desk, hand_over, clock, now):
    hand_over()
    clock(now + timedelta(minutes=9))

    assert "It can be undone" in text_of(desk.get("/desk/"))
    assert "Undone: 2 patients back as before." in text_of(undo(desk))
    assert carers() == {"Ro Desk"}
    assert set(Handover.objects.values_list("undone_by__name", flat=True)) == {"Ro Desk"}


def test_after_ten_minutes_it_stays(desk, hand_over, clock, now):
    hand_over()
    clock(now + timedelta(minutes=11))

    assert "It can be undone" not in text_of(desk.get("/desk/"))
    assert "nothing left to undo" in text_of(undo(desk))
    assert carers() == {"Ines Lead"}


def test_nobody_undoes_a_colleagues_handover(lead_desk, hand_over):
    hand_over()

    undo(lead_desk)

    assert carers() == {"Ines Lead"}


def test_undoing_leaves_alone_who_was_handed_on_since(desk, lead_desk, hand_over, two, clinician):
    hand_over()
    lead_desk.post(URL, {"patient": two[:1], "to": clinician.id, "sure": "yes"})

    assert "Undone: 1 patient back" in text_of(
        desk.post(
            reverse("handover-undo", kwargs={"batch_id": Handover.objects.earliest("at").batch}),
            follow=True,
        )
    )


def test_another_clinics_patients_are_left_out(outside_desk, two):
    assert "Nobody was ticked" in text_of(outside_desk.post(URL, {"patient": two}, follow=True))


def test_another_clinics_colleague_is_no_choice(desk, two, outsider):
    desk.post(URL, {"patient": two, "to": outsider.id, "sure": "yes"})

    assert carers() == {"Ro Desk"}


def test_who_cannot_sign_in_yet_is_no_choice(desk, two, clinic, now):
    new = clinician_invite(clinic=clinic, email="new@larkrise.example", name="Nell New", now=now)

    page = desk.post(URL, {"patient": two, "to": new.id, "sure": "yes"})

    assert "Nell New" not in text_of(page)
    assert not Handover.objects.exists()


def test_what_is_no_patient_is_left_out(desk, two):
    assert "Hand over 1 patient" in text_of(desk.post(URL, {"patient": [two[0], "x", ""]}))


def test_who_is_there_already_is_not_handed_over(desk, two, clinician):
    text = text_of(desk.post(URL, {"patient": two, "to": clinician.id, "sure": "yes"}))

    assert "They are in that clinician's care already." in text
