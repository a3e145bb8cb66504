"""No more reminders, from a notice on the phone: every way at once, whoever is offline when."""

from uuid import UUID

import pytest
from rest_framework.test import APIClient

from clinician.models import OptOut, Reminder, Way
from clinician.selectors.reminder_page import reminder_page
from clinician.services.opt_outs import EVERY_WAY, reminders_stop, reminders_wanted_again
from homeprogram.models import PushSubscription
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.subscriptions import subscription_record
from tests.support.push_service import Receiver
from tests.support.pushes import push_at
from tests.support.reminding import Remembering, agreed, due_patient, evening, routes_of, tick

URL = "/api/v1/reminders/stop/"
OURS = {"X-Boutwise": "1"}


@pytest.fixture
def reminded(phone, revision, patient, clinician, now) -> Reminder:
    """By a notice, and by e-mail too where a notice does not reach."""
    push_at(phone, now, have=[revision.id])
    said = Receiver().subscription()
    subscription_record(phone=phone.row, endpoint=said["endpoint"], now=now, **said["keys"])
    agreed(patient, clinician, now, ways=["push", "email"])
    tick(routes_of(push=Remembering()), evening(now))
    return Reminder.objects.get()


def stop(phone, reminder_id, **headers):
    said = {"reminder": reminder_id and str(reminder_id)}
    return phone.http.post(URL, said, format="json", headers=OURS | headers)


def stopped() -> set[str]:
    return set(OptOut.objects.filter(ended_at=None).values_list("way", flat=True))


def test_it_stops_every_way_and_says_from_which_notice(phone, reminded):
    answer = stop(phone, reminded.id)

    assert (answer.status_code, answer.json()) == (200, {"stopped": True})
    assert stopped() == set(Way.values)
    assert set(OptOut.objects.values_list("reminder_id", flat=True)) == {reminded.id}


def test_a_patient_who_agreed_to_e_mail_too_gets_none_after_it(phone, reminded, now):
    stop(phone, reminded.id)
    mail = Remembering()
    for day in range(2, 12):
        tick(routes_of(push=mail, email=mail), evening(now, day))

    assert mail.taken == []


def test_the_desk_sees_it(phone, reminded, patient, now):
    stop(phone, reminded.id)
    page = reminder_page(patient=patient, now=now, reaches=lambda *_: True)

    assert [words.partition(",")[0] for words in page.stopped] == [
        "e-mail",
        "notice on the phone",
        "text message",
    ]


def test_the_clinic_forgets_where_the_phone_rings(phone, reminded):
    stop(phone, reminded.id)

    assert PushSubscription.objects.values_list("endpoint", "ended_why").get() == ("", "turned_off")


def test_again_changes_nothing(phone, reminded):
    stop(phone, reminded.id)
    before = list(OptOut.objects.values())

    assert stop(phone, reminded.id).json() == {"stopped": True}
    assert list(OptOut.objects.values()) == before


def test_said_again_after_a_later_yes_it_does_not_undo_that(
    phone, reminded, patient, clinician, now
):
    """Our answer had been lost, and the patient has asked for reminders again since."""
    stop(phone, reminded.id)
    reminders_wanted_again(patient=patient, ways=EVERY_WAY, by=clinician, now=evening(now, 2))

    assert stop(phone, reminded.id).json() == {"stopped": False}
    assert stopped() == set()


def test_what_a_mail_of_the_same_reminder_stopped_leaves_the_rest_to_it(
    phone, reminded, patient, now
):
    reminders_stop(patient=patient, ways=["email"], reminder=reminded, now=now)
    stop(phone, reminded.id)

    assert stopped() == set(Way.values)


@pytest.mark.parametrize("unknown", [None, UUID(int=9)])
def test_a_notice_that_nobody_knows_any_more_stops_them_too(phone, reminded, unknown):
    assert stop(phone, unknown).json() == {"stopped": True}
    assert stopped() == set(Way.values)


def test_a_notice_to_whoever_had_the_phone_before_stops_nothing(phone, reminded, clinician, now):
    other = agreed(due_patient(clinician, now), clinician, now)
    tick(routes_of(email=Remembering()), evening(now))
    theirs = Reminder.objects.get(patient=other.patient)

    assert stop(phone, theirs.id).json() == {"stopped": False}
    assert stopped() == set()
    assert PushSubscription.objects.get().ended_at is None


def test_looking_changes_nothing_and_hears_of_a_stop_from_elsewhere(phone, reminded, patient, now):
    before = phone.http.get(URL).json()
    reminders_stop(patient=patient, ways=["email"], now=now)
    by_mail_alone = phone.http.get(URL).json()
    reminders_stop(patient=patient, ways=EVERY_WAY, now=now)

    assert (before, by_mail_alone) == ({"stopped": False}, {"stopped": False})
    assert phone.http.get(URL).json() == {"stopped": True}


def test_a_replaced_phone_may_stop_them_and_hears_no_more(phone, reminded, now):
    phone_revoke(phone=phone.row, state="replaced", now=now)

    assert phone.http.get(URL).json()["code"] == "phone_revoked"
    assert stop(phone, reminded.id).status_code == 200
    assert stopped() == set(Way.values)


def test_an_unpaired_phone_hears_that_it_is_none(db):
    assert APIClient().get(URL).status_code == 401
    assert APIClient().post(URL, {}, format="json", headers=OURS).status_code == 401


def test_another_page_stops_nothing(phone, reminded):
    assert stop(phone, reminded.id, **{"Sec-Fetch-Site": "cross-site"}).status_code == 403
    assert phone.http.post(URL, {"reminder": None}, format="json").status_code == 403
    assert stopped() == set()


@pytest.mark.parametrize("wrong", [{}, {"reminder": "x"}, {"reminder": [1]}, []])
def test_what_is_no_stop_is_refused(phone, reminded, wrong):
    answer = phone.http.post(URL, wrong, format="json", headers=OURS)

    assert (answer.status_code, answer.json()["code"]) == (400, "invalid")
    assert stopped() == set()


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_nothing_else_stops_them(phone, reminded, method):
    assert getattr(phone.http, method)(URL, headers=OURS).status_code == 405
