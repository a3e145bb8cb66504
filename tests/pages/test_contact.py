"""A contact is written down in one form, and read on the patient page."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.models import Contact
from homeprogram.models import Flag
from tests.support.desk import make_contact
from tests.support.pushes import push_at
from tests.support.reading import text_of

POST = {
    "way": "telephone",
    "direction": "out",
    "outcome": "done",
    "on": "2030-03-04",
    "at": "08:40",
    "minutes": "6",
    "about": "skin",
    "note": "Red patch is gone.",
}


def known_until(page) -> dict:
    """What the form says of the flag it shows."""
    return {"known_until": re.search(r'known_until" value="([^"]+)"', page.content.decode())[1]}


def url(patient) -> str:
    return reverse("contact-record", kwargs={"patient_id": patient.id})


def test_a_contact_is_read_on_the_patient_page(desk, patient, patient_url, clinician):
    response = desk.post(url(patient), POST)

    assert response["Location"] == f"{patient_url}#contacts"
    page = text_of(desk.get(patient_url))
    assert "Mon 4 Mar 2030, 08:40" in page
    assert "Telephone, from the clinic. About skin. 6 minutes, Ro Desk." in page
    assert "Red patch is gone." in page


def test_the_form_is_one_click_from_the_patient_page(desk, patient, patient_url):
    assert url(patient) in desk.get(patient_url).content.decode()


@pytest.mark.parametrize(
    ("asked", "chosen"),
    [("review", "review"), ("skin_reaction", "skin"), ("missed_days", "bouts"), ("<b>", "")],
)
def test_the_subject_comes_with_the_address(desk, patient, asked, chosen):
    form = desk.get(url(patient), {"about": asked}).context["form"]

    picked = [value for value, _ in form["about"].field.choices if value == form["about"].value()]
    assert "".join(picked) == chosen
    assert form["way"].value() == "telephone"


def test_that_somebody_spoke_is_never_chosen_beforehand(desk, patient):
    form = desk.get(url(patient)).context["form"]

    assert not form["outcome"].value()


@pytest.mark.parametrize("path", ["contact-record", "contact-request"])
def test_a_tap_dials_the_patient(desk, patient, path):
    type(patient).objects.update(telephone="+44 (1632) 960 007")

    page = desk.get(reverse(path, kwargs={"patient_id": patient.id})).content.decode()

    assert '<a href="tel:+441632960007">+44 (1632) 960 007</a>' in page


def test_a_moment_is_meant_in_the_clinics_zone(desk, patient, clinic):
    clinic.zone = "Pacific/Auckland"
    clinic.save(update_fields=["zone"])

    desk.post(url(patient), POST | {"on": "2030-03-04", "at": "21:30"})

    assert Contact.objects.get().at.isoformat() == "2030-03-04T08:30:00+00:00"


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("on", "2030-03-05", "at a time to come"),
        ("way", "pigeon", "Select a valid choice"),
        ("minutes", "601", "less than or equal to 600"),
        ("about", "", "Choose one."),
    ],
)
def test_an_odd_contact_is_not_kept(desk, patient, field, value, said):
    page = text_of(desk.post(url(patient), POST | {field: value}))

    assert "Not saved yet" in page
    assert said in page
    assert not Contact.objects.exists()


def test_a_call_that_is_owed_stands_on_the_patient_page(desk, patient, patient_url):
    desk.post(url(patient), POST | {"direction": "in", "outcome": "call_back"})

    assert "Asked to be called back 20 minutes ago, skin. Open until you spoke." in text_of(
        desk.get(patient_url)
    )


def test_a_call_that_is_owed_stands_on_the_panel_until_somebody_spoke(desk, patient):
    panel = reverse("desk-panel")
    desk.post(url(patient), POST | {"direction": "in", "outcome": "call_back", "at": "08:00"})
    before = text_of(desk.get(panel))

    desk.post(url(patient), POST)

    after = text_of(desk.get(panel))
    assert "call back owed Asked 1 hour ago, skin" in before
    assert "call back owed" not in after
    assert after.count("Nothing raised") == before.count("Nothing raised") + 1


@pytest.fixture
def asked(phone, now) -> Flag:
    note = {"text": "Please call me.", "wants_contact": True}
    push_at(phone, now, phone.entry("note_to_clinic", note))
    return Flag.objects.get(reason="contact_wanted")


def test_the_form_closes_the_flag_that_it_answers(desk, patient, asked):
    desk.post(url(patient), POST | {"close": "on", "reason": "Called, all well."})

    asked.refresh_from_db()
    assert (asked.state, asked.close_reason) == ("closed", "Called, all well.")


def test_a_note_that_came_during_the_call_keeps_the_flag_open(desk, patient, phone, asked, now):
    answer = {"close": "on", "reason": "Called.", **known_until(desk.get(url(patient)))}
    note = {"text": "And it burns.", "wants_contact": True}
    push_at(phone, now + timedelta(minutes=5), phone.entry("note_to_clinic", note))

    refused = desk.post(url(patient), POST | answer)

    asked.refresh_from_db()
    assert "Something newer has arrived on this flag" in text_of(refused)
    assert asked.state == "open"
    assert not Contact.objects.exists()

    desk.post(url(patient), POST | answer | known_until(refused))
    asked.refresh_from_db()
    assert asked.state == "closed"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"reason": ""}, "Say what you found or did."),
        ({"outcome": "not_reached"}, "Only a contact in which you spoke answers the flag."),
    ],
)
def test_a_try_or_no_reason_closes_no_flag(desk, patient, asked, changes, said):
    answer = {"close": "on", "reason": "Called."}

    assert said in text_of(desk.post(url(patient), POST | answer | changes))
    asked.refresh_from_db()
    assert asked.state == "open"
    assert not Contact.objects.exists()


def test_only_with_the_flag_the_form_asks_to_close_it(desk, patient, phone, request):
    words = "Close the flag “wants contact”"
    before = text_of(desk.get(url(patient)))
    request.getfixturevalue("asked")

    assert words not in before
    assert words in text_of(desk.get(url(patient)))


def test_a_correction_starts_from_what_was_written(desk, patient, patient_url, clinician, now):
    contact = make_contact(patient, clinician, now, minutes=50)
    correct = reverse("contact-correct", kwargs={"contact_id": contact.id})
    form = desk.get(correct).context["form"]

    desk.post(correct, POST)

    assert (form["minutes"].value(), form["note"].value()) == (50, "All well.")
    page = text_of(desk.get(patient_url))
    assert "Corrected; what was written before" in page
    assert desk.get(correct).status_code == 404
