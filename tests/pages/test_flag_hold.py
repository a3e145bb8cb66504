"""Close a flag, lift a hold: with a reason, by somebody, exactly what was shown."""

from datetime import timedelta

import pytest
from django.urls import reverse

from homeprogram.models import Flag, Hold, Lift, Phone
from homeprogram.services.pairing import release_key_of
from tests.entries import skin
from tests.support.reading import text_of

RAISED = {"for_date": "2030-03-04"}
SAID = {"outcome": "acted_on", "reason": "Rang: redness only."}


@pytest.fixture
def reaction(story):
    """A raised patch: one flag, one hold."""
    story.push(story.entry("skin_check", skin(raised=True), **RAISED))
    return story


@pytest.fixture
def flag(reaction) -> Flag:
    return Flag.objects.get(reason="skin_reaction")


@pytest.fixture
def hold(reaction) -> Hold:
    return Hold.objects.get()


def close_url(flag: Flag) -> str:
    return reverse("flag-close", kwargs={"flag_id": flag.id})


def lift_url(hold: Hold) -> str:
    return reverse("hold-lift", kwargs={"patient_id": hold.patient_id})


def test_a_flag_is_closed_by_somebody_with_a_reason(desk, flag, clinician):
    response = desk.post(close_url(flag), SAID)

    flag.refresh_from_db()
    assert response.status_code == 302
    assert (flag.state, flag.closed_by) == ("closed", clinician)
    assert flag.close_reason == "Rang: redness only."


@pytest.mark.parametrize("reason", ["", "   "])
def test_a_flag_stays_open_without_a_reason(desk, flag, reason):
    response = desk.post(close_url(flag), SAID | {"reason": reason})

    flag.refresh_from_db()
    assert flag.state == "open"
    assert "Fill this in." in text_of(response)
    assert "grade 3 of 4, after the bout" in text_of(response)


def test_a_closed_flag_says_by_whom_and_why(desk, flag, patient_url):
    desk.post(close_url(flag), SAID)

    words = "Closed by Ro Desk on Mon 4 Mar 2030, 09:00, acted on: Rang: redness only."
    assert words in text_of(desk.get(patient_url))


def test_closing_a_flag_lifts_no_hold(desk, flag, hold):
    desk.post(close_url(flag), SAID)

    hold.refresh_from_db()
    assert hold.lift is None


def test_a_hold_is_lifted_with_a_reason(desk, hold, clinician):
    desk.post(lift_url(hold), {"holds": [str(hold.id)], "reason": "Skin calm at the visit."})

    hold.refresh_from_db()
    assert hold.lift.lifted_by == clinician
    assert hold.lift.reason == "Skin calm at the visit."


@pytest.mark.parametrize("keyed", [True, False], ids=["with a key", "without a key"])
def test_a_code_is_spoken_of_only_where_one_is_shown(desk, hold, clock, now, keyed):
    if keyed:
        release_key_of(phone=Phone.objects.get())
    clock(now + timedelta(hours=3))

    said = {"holds": [str(hold.id)], "reason": "calm"}
    text = text_of(desk.post(lift_url(hold), said, follow=True))

    assert "Hold lifted." in text
    assert ("Code for the phone" in text) is keyed
    assert ("the code below ends the hold too" in text) is keyed


def test_no_lift_without_a_reason(desk, hold):
    response = desk.post(lift_url(hold), {"holds": [str(hold.id)], "reason": ""})

    assert "Fill this in." in text_of(response)
    assert not Lift.objects.exists()


def test_a_hold_that_came_after_the_page_was_drawn_stands(desk, hold, reaction):
    reaction.push(reaction.entry("skin_check", skin(broken=True), **RAISED))

    desk.post(lift_url(hold), {"holds": [str(hold.id)], "reason": "calm"})

    assert Hold.objects.filter(lift=None).count() == 1
    assert Hold.objects.get(lift=None).id != hold.id


def test_a_hold_lifted_meanwhile_is_said_so(desk, hold, reaction):
    reaction.push(reaction.entry("skin_check", skin(broken=True), **RAISED))
    shown = [str(one.id) for one in Hold.objects.all()]
    desk.post(lift_url(hold), {"holds": [str(hold.id)], "reason": "calm"})

    response = desk.post(lift_url(hold), {"holds": shown, "reason": "calm"})

    assert "no longer what was shown" in text_of(response)
    assert Hold.objects.filter(lift=None).count() == 1


def test_another_patients_hold_is_not_lifted_by_the_way(desk, hold, clinician, now):
    from homeprogram.services.patients import patient_add

    other = patient_add(by=clinician, name="Abel Calm", now=now)
    url = reverse("hold-lift", kwargs={"patient_id": other.id})

    desk.post(url, {"holds": [str(hold.id)], "reason": "calm"})

    assert not Lift.objects.exists()
