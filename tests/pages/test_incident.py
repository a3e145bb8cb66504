"""An incident is recorded, read, added to, printed and closed at the desk."""

import pytest
from django.urls import reverse

from clinician.models import Incident
from tests.support.desk import make_incident, make_loan
from tests.support.reading import text_of


@pytest.fixture
def url(patient) -> str:
    return reverse("incident-record", kwargs={"patient_id": patient.id})


@pytest.fixture
def told(episode) -> dict:
    return {
        "kind": "burn",
        "episode": str(episode.id),
        "on": "2030-03-04",
        "at": "07:10",
        "near": "during",
        "facts": "A blister under the upper pad.",
        "skin_grade": "4",
        "told_by": "the patient",
    }


@pytest.fixture
def incident(patient, episode, clinician, now) -> Incident:
    return make_incident(patient, clinician, now, episode=episode)


def page_of(desk, name: str, incident: Incident) -> str:
    return text_of(desk.get(reverse(name, kwargs={"incident_id": incident.id})))


def test_what_was_told_is_read_back_with_the_dose_in_force(desk, url, told):
    response = desk.post(url, told, follow=True)

    page = text_of(response)
    assert "Incident: burn or skin injury LEFT" in page
    assert "Happened Mon 4 Mar 2030, 07:10" in page
    assert "A blister under the upper pad." in page
    assert "Parameters in force: revision 1" in page
    assert "channel 1: start 20 mA, floor 30 mA, ceiling 60 mA" in page
    assert "incident open" in page


def test_the_one_lent_stimulator_is_offered_first(desk, url, told, patient, now):
    own = make_loan(patient, patient.clinician, now).stimulator

    form = desk.get(url).context["form"]
    desk.post(url, told | {"stimulator": str(own.id)})

    assert form["stimulator"].value() == str(own.id)
    assert "lent, in quarantine" in text_of(desk.get(reverse("lending-list")))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"skin_grade": ""}, "Say how the skin looks"),
        ({"on": "2030-03-05"}, "It cannot have happened at a time to come."),
        ({"facts": ""}, "Fill this in."),
        ({"stimulator": "not-mine"}, "Select a valid choice"),
    ],
)
def test_an_odd_incident_is_not_saved(desk, url, told, changes, said):
    assert said in text_of(desk.post(url, told | changes))
    assert not Incident.objects.exists()


def test_an_open_one_stands_on_patient_page_and_panel_until_it_is_closed(
    desk, incident, patient_url
):
    before = [text_of(desk.get(at)) for at in (patient_url, reverse("desk-panel"))]
    close = reverse("incident-close", kwargs={"incident_id": incident.id})

    desk.post(close, {"reason": "Pads changed, healed."})

    assert all("incident open" in page for page in before)
    assert "incident open" not in text_of(desk.get(reverse("desk-panel")))
    assert "Closed Mon 4 Mar 2030, 09:00 by Ro Desk: Pads changed, healed." in text_of(
        desk.get(patient_url)
    )


def test_a_supplement_is_added_under_its_date(desk, incident):
    address = reverse("incident-detail", kwargs={"incident_id": incident.id})

    desk.post(address, {"text": "Healed after a week.", "who_was_told": "Dr Ama Lind"})

    page = page_of(desk, "incident-detail", incident)
    assert "Mon 4 Mar 2030, 09:00, Ro Desk" in page
    assert "Healed after a week. Told: Dr Ama Lind" in page


def test_the_report_leaves_reporting_to_local_rules(desk, incident):
    page = page_of(desk, "incident-report", incident)

    assert "Local rules decide whether, how soon and on which form" in page
    assert "Wilma Tarn" in page
    assert "one edge lifted" in page
