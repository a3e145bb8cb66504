"""All that a lead can set, in one place; who changed what; records past their time."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.forms.settings import ClinicSettingsForm
from homeprogram.models import Clinician, Episode, SettingChange
from tests.conftest import make_clinician
from tests.support.reading import text_of

SETTINGS = "/desk/clinic/settings/"


def settings(clinic, **changes) -> dict:
    shown = ClinicSettingsForm.initial_of(clinic)
    return {k: f"{v:%H:%M}" if hasattr(v, "hour") else v for k, v in shown.items()} | changes


def role_url(clinician) -> str:
    return reverse("staff-role", kwargs={"clinician_id": clinician.id})


def test_every_setting_is_found_on_one_page(lead_desk, clinic):
    content = lead_desk.get(reverse("clinic")).content.decode()

    names = ("texts", "settings", "rules", "course", "history", "past")
    for url in [reverse(f"clinic-{name}") for name in names]:
        assert f'href="{url}"' in content
    assert reverse("staff-list") in content
    assert reverse("roster") in content


def test_only_what_differs_from_ours_is_kept_and_written_down(lead_desk, lead, clinic, now):
    lead_desk.post(SETTINGS, settings(clinic, quiet_from="20:30", retention_years=10))

    clinic.refresh_from_db()
    noted = SettingChange.objects.get()
    assert clinic.settings == {"quiet_from": "20:30", "retention_years": 10}
    assert (noted.kind, noted.by, noted.at) == ("settings", lead, now)
    assert noted.after == {"quiet_from": "20:30", "retention_years": 10}


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"duty_until": "07:00"}, "Later than their beginning."),
        ({"quiet_until": "21:00"}, "At another time than their beginning."),
        ({"unseen_h": 0}, "greater than or equal to 1"),
        ({"retention_years": ""}, "Fill this in."),
    ],
)
def test_odd_values_are_refused(lead_desk, clinic, told, sentence):
    response = lead_desk.post(SETTINGS, settings(clinic, **told))

    clinic.refresh_from_db()
    assert sentence in text_of(response)
    assert clinic.settings == {}


def test_the_history_says_who_changed_what(lead_desk, lead, clinician, clinic):
    lead_desk.post(SETTINGS, settings(clinic, unseen_h=2))
    lead_desk.post(role_url(clinician), {"role": "lead"})
    lead_desk.post(
        reverse("roster-week", kwargs={"clinician_id": clinician.id}),
        {"weekdays": ["1", "2"], "cover": str(lead.id)},
    )

    text = text_of(lead_desk.get(reverse("clinic-history")))

    assert "a safety flag unseen goes on after [h of duty]: as usual → 2" in text
    assert "Staff, Ro Desk role: “clinician” → “lead”" in text
    assert "Roster of Ro Desk weekdays: Mon, Tue, Wed, Thu, Fri → Tue, Wed" in text
    assert "usual cover: as usual → Ines Lead" in text


def test_texts_thresholds_and_invitations_are_in_the_history_too(lead_desk, clinic):
    from tests.pages.test_clinic import RULES, TEXTS, rules, texts

    lead_desk.post(TEXTS, texts(clinic, skin_3="Ring us today.", phone_number="01632 960 111"))
    lead_desk.post(RULES, rules(clinic, no_contact_h=72))
    lead_desk.post(
        reverse("staff-invite"), {"name": "New", "email": "n@larkrise.example", "role": "lead"}
    )

    text = text_of(lead_desk.get(reverse("clinic-history")))
    assert "telephone: “01632 960 001” → “01632 960 111”" in text
    assert "skin 3: as usual → “Ring us today.”" in text
    assert "Without word from the phone for: as usual → 72" in text
    assert "Staff, New role: no access → “lead”" in text


def test_a_lead_makes_another_a_lead_and_steps_down(lead_desk, lead, clinician):
    lead_desk.post(role_url(clinician), {"role": "lead"})
    response = lead_desk.post(role_url(lead), {"role": "clinician"})

    assert response.url == reverse("desk-panel")
    assert dict(Clinician.objects.values_list("name", "role")) == {
        "Ines Lead": "clinician",
        "Ro Desk": "lead",
    }


def test_somebody_always_leads(lead_desk, lead, clinician):
    response = lead_desk.post(role_url(lead), {"role": "clinician"})

    lead.refresh_from_db()
    assert "Make another clinician a lead first." in text_of(response)
    assert lead.is_lead


def test_records_past_their_time_are_listed_and_stay(lead_desk, clinic, episode, patient, now):
    Episode.objects.update(ended_on=(now - timedelta(days=8 * 366)).date(), starts_on="2020-01-01")
    make_clinician(clinic, "other@larkrise.example", now)

    before = text_of(lead_desk.get(reverse("clinic-past")))
    lead_desk.post(SETTINGS, settings(clinic, retention_years=9))

    assert "Wilma Tarn last episode ended" in before
    assert "None." in text_of(lead_desk.get(reverse("clinic-past")))


def test_a_patient_in_care_is_never_past_their_time(lead_desk, episode):
    Episode.objects.update(starts_on="2010-01-01")

    assert "None." in text_of(lead_desk.get(reverse("clinic-past")))
