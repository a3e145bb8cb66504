"""A lead sets when a course may be reviewed; what stays usual is not stored."""

import pytest
from django.urls import reverse

COURSE = {
    "weeks_post_operative": 12,
    "weeks_conservative": 6,
    "weeks_pre_operative": 6,
    "lsi_pct": 80,
}


@pytest.fixture
def lead_browser(client, lead):
    client.force_login(lead.user)
    return client


def save(browser, **changes):
    return browser.post(reverse("clinic-course"), COURSE | changes)


def test_the_usual_values_are_shown(lead_browser):
    page = lead_browser.get(reverse("clinic-course")).content.decode()

    assert 'value="12"' in page
    assert 'value="80"' in page


def test_only_what_differs_is_kept(lead_browser, clinic):
    save(lead_browser, lsi_pct=90)

    clinic.refresh_from_db()
    assert clinic.course == {"lsi_pct": 90}


@pytest.mark.parametrize(("name", "value"), [("lsi_pct", 20), ("weeks_conservative", 0)])
def test_a_value_out_of_bounds_is_refused_and_kept_on_the_page(lead_browser, clinic, name, value):
    answer = save(lead_browser, **{name: value})

    clinic.refresh_from_db()
    assert answer.status_code == 200
    assert f'value="{value}"' in answer.content.decode()
    assert clinic.course == {}


def test_the_strength_check_judges_by_the_clinics_own_index(client, lead, clinic):
    client.force_login(lead.user)
    save(client, lsi_pct=90)
    asked = {
        "involved": [170, 168],
        "uninvolved": [200, 198],
        "unit": "Nm",
        "mvic_rule": "best",
        "method": "electromechanical",
        "weeks_since_start": 20,
        "weeks_since_surgery": 20,
        "pathway": "post_operative",
        "other_limb": "sound",
    }

    answer = client.post("/api/v1/strength-check/", asked, content_type="application/json")

    assert answer.status_code == 200, answer.content
    assert "below 90 %" in str(answer.json()["findings"])
