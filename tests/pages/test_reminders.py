"""A patient's reminders at the desk: agreeing, looking ahead, looking back, asking to call."""

from datetime import timedelta

import pytest
from django.urls import reverse

from clinician.models import OptOut, Reminder, ReminderSetting
from clinician.services.channels.routes import ROUTES
from clinician.services.opt_outs import EVERY_WAY, reminders_stop
from homeprogram.services.subscriptions import subscription_record
from tests.support.push_service import Receiver
from tests.support.pushes import push_at
from tests.support.reminding import agreed, evening, tick

SET = {
    "on": "on",
    "time_1": "18:00",
    "ways": ["email"],
    "email": "w@post.example",
    "language": "es",
}


@pytest.fixture
def addresses(patient) -> dict[str, str]:
    names = ("reminder-page", "reminder-set", "contact-request", "patient-detail")
    return {name: reverse(name, kwargs={"patient_id": patient.id}) for name in names}


@pytest.fixture
def told(phone, revision, now):
    push_at(phone, now, have=[revision.id])
    return phone


@pytest.fixture
def setting(told, patient, clinician, now) -> ReminderSetting:
    """Reminders by e-mail at six, of a patient whose phone knows the program."""
    return agreed(patient, clinician, now)


def text(answer) -> str:
    return " ".join(answer.content.decode().split())


def test_what_is_agreed_is_kept_and_shown(desk, addresses):
    answer = desk.post(addresses["reminder-set"], SET, follow=True)

    assert "At 18:00 on due days with nothing logged, by e-mail." in text(answer)
    kept = ReminderSetting.objects.get()
    assert (kept.times, kept.ways, kept.email, kept.language) == (
        ["18:00"], ["email"], "w@post.example", "es",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"time_1": "21:30"}, "outside the quiet hours, 21:00 to 08:00"),
        ({"time_1": ""}, "Name a time of day."),
        ({"ways": []}, "Choose at least one way."),
        ({"email": ""}, "Fill this in, or choose another way."),
    ],
)
def test_what_makes_no_sense_is_refused_beside_its_field(desk, addresses, change, said):
    answer = desk.post(addresses["reminder-set"], SET | change)

    assert said in text(answer)
    assert not ReminderSetting.objects.exists()


def test_the_next_days_say_what_goes_out_and_why_not(desk, addresses, setting):
    page = text(desk.get(addresses["reminder-page"]))

    assert "none: nothing is due" in page  # today
    assert page.count("18:00, e-mail") == 4  # three in seven days, then one a week
    assert "none: three in seven days are the most" in page
    assert "none: three stayed unanswered: one a week" in page


def test_what_went_out_says_what_came_of_it(desk, addresses, setting, told, clock):
    six = evening(setting.since)
    tick(ROUTES, six)
    at = six + timedelta(minutes=40)
    entry = told.entry(
        "not_done", {"ordinal": 1, "reason": "ill"}, device_ms=int(at.timestamp() * 1000),
        episode_id=str(setting.patient.episodes.get().id), for_date=f"{six:%Y-%m-%d}",
    )  # fmt: skip
    push_at(told, at, entry)
    clock(six + timedelta(hours=4))

    page = text(desk.get(addresses["reminder-page"]))

    assert "Sent; logged 40 min later" in page


def test_staff_see_what_the_patient_stopped(desk, addresses, setting, now):
    reminders_stop(patient=setting.patient, ways=["email"], now=now)

    page = text(desk.get(addresses["reminder-page"]))
    of_patient = text(desk.get(reverse("patient-detail", args=[setting.patient.id])))

    assert "The patient stopped these: e-mail" in page
    assert "none: no way to reach the patient" in page
    assert "Stopped by the patient</a>: e-mail, " in of_patient


def test_saving_brings_back_only_what_the_patient_asked_for_again(
    desk, addresses, setting, clinician, now
):
    reminders_stop(patient=setting.patient, ways=EVERY_WAY, now=now)
    desk.post(addresses["reminder-set"], SET)
    untouched = OptOut.objects.filter(ended_at=None).count()
    desk.post(addresses["reminder-set"], SET | {"again": ["email"]})

    assert untouched == 3
    ended = OptOut.objects.exclude(ended_at=None).get()
    assert (ended.way, ended.ended_by) == ("email", clinician)


def test_a_request_to_call_goes_out_once_in_neutral_words(
    desk, addresses, setting, clinician, mailoutbox
):
    first = desk.post(addresses["contact-request"], follow=True)
    second = desk.post(addresses["contact-request"])

    assert "Sent, by e-mail." in text(first)
    assert "there is at most one a day" in text(second)
    assert len(mailoutbox) == 1
    assert "Please call us when you can" in mailoutbox[0].body
    assert Reminder.objects.get().by == clinician


def test_no_request_goes_to_somebody_who_stopped(desk, addresses, setting, now, mailoutbox):
    reminders_stop(patient=setting.patient, ways=EVERY_WAY, now=now)

    assert "Telephone instead" in text(desk.post(addresses["contact-request"]))
    assert mailoutbox == []


def test_no_request_goes_at_night(desk, addresses, setting, clock, mailoutbox):
    clock(setting.since.replace(hour=21, minute=5))

    assert "quiet time" in text(desk.post(addresses["contact-request"]))
    assert mailoutbox == []


def test_the_page_says_when_no_phone_takes_the_notices_that_are_agreed(
    desk, addresses, told, clinician, now
):
    agreed(told.row.patient, clinician, now, ways=["push"])
    before = text(desk.get(addresses["reminder-page"]))
    said = Receiver().subscription()
    subscription_record(phone=told.row, endpoint=said["endpoint"], now=now, **said["keys"])
    after = text(desk.get(addresses["reminder-page"]))

    assert "No phone of this patient takes notices now." in before
    assert "takes notices" not in after
    assert "notice on the phone" in after
