"""The round of reminders: who gets one, who does not, and what is kept of it."""

from datetime import UTC, datetime, time, timedelta

import pytest
from django.core import mail

from clinician.models import Reminder, ReminderOutcome, ReminderSetting
from clinician.services.channels.outcome import Outcome
from clinician.services.channels.routes import ROUTES
from clinician.services.duty import absence_record, absence_take_back
from homeprogram.services.programs import program_end, program_pause
from tests.entries import BOUT, skin
from tests.support.pushes import push_at
from tests.support.reminding import Remembering, agreed, due_patient, evening, routes_of, tick

HOUR = timedelta(hours=1)


@pytest.fixture
def told(phone, revision, now):
    """The phone has named the program: it is due from tomorrow on, every day."""
    push_at(phone, now, have=[revision.id])
    return phone


@pytest.fixture
def setting(told, patient, clinician, now) -> ReminderSetting:
    return agreed(patient, clinician, now)


@pytest.fixture
def six(now):
    return evening(now)


def bout(phone, revision, day):
    return phone.entry(
        "bout",
        BOUT,
        for_date=f"{day:%Y-%m-%d}",
        local_time=f"{day:%Y-%m-%d}T08:20:00",
        device_ms=int(day.timestamp() * 1000),
        episode_id=str(revision.program.episode_id),
        revision_id=str(revision.id),
    )


def test_one_goes_at_its_time_on_a_due_day_with_nothing_logged(setting, six):
    assert tick(ROUTES, six - timedelta(minutes=1)).sent == 0
    assert tick(ROUTES, six).sent == 1

    assert [one.to for one in mail.outbox] == [[setting.email]]
    kept = Reminder.objects.get()
    assert (kept.outcome, kept.day, kept.way) == (ReminderOutcome.SENT, six.date(), "email")


def test_many_rounds_and_a_second_time_of_the_day_send_no_second_one(told, patient, clinician, now):
    agreed(patient, clinician, now, times=[time(12), time(18)])
    for hour in range(8, 21):
        tick(ROUTES, evening(now).replace(hour=hour))

    assert len(mail.outbox) == 1


def test_at_most_three_in_seven_days_and_one_a_week_once_unanswered(setting, now):
    for day in range(1, 29):
        tick(ROUTES, evening(now, day))

    days = [(one.day - now.date()).days for one in Reminder.objects.order_by("day")]
    assert days == [1, 2, 3, 10, 17, 24]


def test_what_is_logged_answers_and_reminders_go_on(setting, told, revision, now):
    for day in (1, 2, 3):
        tick(ROUTES, evening(now, day))
    later = evening(now, 4)
    push_at(told, later, bout(told, revision, later))
    for day in range(5, 12):
        tick(ROUTES, evening(now, day))

    days = [(one.day - now.date()).days for one in Reminder.objects.order_by("day")]
    assert days == [1, 2, 3, 8, 9, 10]


def test_none_goes_where_something_was_logged(setting, told, revision, six):
    push_at(told, six - HOUR, bout(told, revision, six))

    assert tick(ROUTES, six).sent == 0


def test_none_goes_while_a_hold_stands(setting, told, episode, six):
    raised = told.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
    push_at(told, six - HOUR, raised)

    assert tick(ROUTES, six).sent == 0


def test_none_goes_in_a_pause_or_after_the_end(setting, revision, clinician, now, six):
    program_pause(program=revision.program, by=clinician, reason="travel", now=now)
    assert tick(ROUTES, six).sent == 0

    program_end(program=revision.program, by=clinician, reason="done", now=six, ended_on=six.date())
    assert tick(ROUTES, six + timedelta(days=1)).sent == 0


def test_none_goes_to_a_patient_no_longer_in_care(setting, patient, six):
    type(patient).objects.filter(id=patient.id).update(archived_at=six)

    assert tick(ROUTES, six).sent == 0


def test_a_clock_that_stood_still_drops_what_is_past(setting, now, six):
    night = six + timedelta(hours=5)
    assert tick(ROUTES, night).sent == 0
    assert tick(ROUTES, night + timedelta(hours=10)).sent == 0

    assert tick(ROUTES, six + timedelta(days=1)).sent == 1


def test_a_time_set_too_late_for_today_waits_for_tomorrow(told, patient, clinician, six):
    agreed(patient, clinician, six + HOUR)

    assert tick(ROUTES, six + HOUR).sent == 0
    assert tick(ROUTES, six + timedelta(days=1)).sent == 1


def test_settings_turned_off_send_nothing_more(setting, patient, clinician, six):
    agreed(patient, clinician, six - HOUR, on=False)

    assert tick(ROUTES, six).sent == 0
    assert ReminderSetting.objects.get().next_at is None


def test_words_differ_when_the_phone_was_heard_today_and_when_not(setting, told, now, six):
    tick(ROUTES, six)
    push_at(told, evening(now, 2) - HOUR)
    tick(ROUTES, evening(now, 2))

    unheard, heard = (one.body for one in mail.outbox)
    assert "did not hear from your app" in unheard
    assert "did not hear" not in heard


@pytest.fixture
def close(clinic, clinician, lead, now):
    days = {"clinic": clinic, "clinician": None, "cover": lead, "by": clinician, "now": now}
    return lambda day: absence_record(first_day=day, last_day=day, **days)


def test_on_a_closed_day_it_says_that_nobody_is_there(setting, close, now, six):
    close(six.date())
    for day in (1, 2):
        tick(ROUTES, evening(now, day))

    assert ["Nobody is here today" in one.body for one in mail.outbox] == [True, False]


def test_the_closed_day_is_the_clinics_and_not_the_patients(setting, clinic, close, six):
    """At six in London it is the next morning in Auckland."""
    type(clinic).objects.filter(id=clinic.id).update(zone="Pacific/Auckland")
    clinic.refresh_from_db()
    close(six.date() + timedelta(days=1))
    tick(ROUTES, six)

    assert "Nobody is here today" in mail.outbox[0].body


def test_a_closure_that_was_taken_back_is_not_told(setting, close, clinician, six):
    absence = close(six.date())
    absence_take_back(absence=absence, by=clinician, now=six)
    tick(ROUTES, six)

    assert "Nobody is here today" not in mail.outbox[0].body


def test_the_hour_is_the_one_on_the_patients_wall(told, patient, clinician, now):
    type(patient).objects.filter(id=patient.id).update(zone="Asia/Kathmandu")
    patient.refresh_from_db()
    agreed(patient, clinician, now)
    local_six = datetime(2030, 3, 6, 12, 15, tzinfo=UTC)  # + 5:45

    tick(ROUTES, local_six - timedelta(minutes=1))
    sent_early = Reminder.objects.filter(day="2030-03-06").count()
    tick(ROUTES, local_six)

    assert sent_early == 0
    assert Reminder.objects.filter(day="2030-03-06").count() == 1


def test_what_a_server_could_not_take_is_tried_again_and_counted_once(setting, six):
    channel = Remembering([Outcome.later(six + timedelta(minutes=5), "busy")])
    routes = routes_of(email=channel)
    tick(routes, six)
    tick(routes, six + timedelta(minutes=4))
    tick(routes, six + timedelta(minutes=5))

    assert len({message_id for _, message_id, _, _ in channel.taken}) == 1
    assert len(channel.taken) == 2
    assert Reminder.objects.get().outcome == ReminderOutcome.SENT


def test_three_tries_are_enough(setting, six):
    channel = Remembering([Outcome.later(six + n * HOUR / 2, "busy") for n in (1, 2, 3)])
    for n in range(6):
        tick(routes_of(email=channel), six + n * HOUR / 2)

    assert len(channel.taken) == 3
    assert Reminder.objects.get().outcome == ReminderOutcome.FAILED


def test_a_try_too_late_is_given_up_before_the_quiet_hours(setting, six):
    channel = Remembering([Outcome.later(six + 3 * HOUR, "busy")])
    tick(routes_of(email=channel), six)
    tick(routes_of(email=channel), six + 4 * HOUR)

    assert len(channel.taken) == 1
    assert Reminder.objects.get().outcome == ReminderOutcome.FAILED


def test_what_was_logged_between_two_tries_ends_them(setting, told, revision, six):
    channel = Remembering([Outcome.later(six + HOUR, "busy")])
    tick(routes_of(email=channel), six)
    push_at(told, six + HOUR / 2, bout(told, revision, six))
    tick(routes_of(email=channel), six + HOUR)

    assert len(channel.taken) == 1
    assert Reminder.objects.get().outcome == ReminderOutcome.DROPPED


def test_where_a_way_refuses_the_next_one_takes_it_at_once(told, patient, clinician, now, six):
    agreed(patient, clinician, now, ways=["push", "email"])
    refused = Remembering([Outcome.failed("status_403")])
    email = Remembering()
    tick(routes_of(push=refused, email=email), six)
    tick(routes_of(push=refused, email=email), six + HOUR)

    rows = Reminder.objects.order_by("claimed_at", "outcome").values_list("way", "outcome")
    assert list(rows) == [("push", "failed"), ("email", "sent")]
    assert (len(refused.taken), len(email.taken)) == (1, 1)


def test_a_patients_only_way_that_refuses_is_tried_once_a_day(setting, six):
    channel = Remembering([Outcome.failed("smtp_550"), Outcome.failed("smtp_550")])
    for hours in (0, 1, 2, 24, 25):
        tick(routes_of(email=channel), six + hours * HOUR)

    assert len(channel.taken) == 2


def test_where_nobody_is_any_more_the_next_way_takes_it(told, patient, clinician, now, six):
    agreed(patient, clinician, now, ways=["push", "email"])
    gone, email = Remembering([Outcome.gone("unknown_there")]), Remembering()
    tick(routes_of(push=gone, email=email), six)
    tick(routes_of(email=email), six + timedelta(minutes=1))

    assert len(email.taken) == 1
    assert gone.settled[0][1].why == "unknown_there"
    assert Reminder.objects.get().way == "email"


def test_what_may_have_gone_out_is_never_sent_again(setting, six):
    channel = Remembering([Outcome.unknown("cut")])
    for n in range(5):
        tick(routes_of(email=channel), six + n * HOUR / 2)

    assert len(channel.taken) == 1


def test_the_claim_of_a_worker_that_died_is_closed_as_not_known(setting, six):
    class Dies(Remembering):
        def send(self, **_):
            raise SystemExit

    with pytest.raises(SystemExit):
        tick(routes_of(email=Dies()), six)
    channel = Remembering()
    tick(routes_of(email=channel), six + HOUR)

    assert channel.taken == []
    assert Reminder.objects.get().outcome == ReminderOutcome.UNKNOWN


def test_one_patient_that_fails_stops_no_other(setting, clinician, now, six, caplog):
    another = agreed(due_patient(clinician, now), clinician, now, email="una@post.example")
    ReminderSetting.objects.filter(id=setting.id).update(times=["half past six"])

    done = tick(ROUTES, six)

    assert (done.sent, done.broken) == (1, 1)
    assert [one.to for one in mail.outbox] == [[another.email]]
    assert "Wilma" not in caplog.text


def test_when_its_time_is_up_a_round_leaves_the_rest_to_the_next_one(setting, clinician, now, six):
    """Of many due ones and one to be tried again each is begun once, however short the rounds."""
    for n in range(3):
        agreed(due_patient(clinician, now, f"Una {n}"), clinician, now)
    channel = Remembering([Outcome.later(six, "busy")])
    rounds = []
    while not rounds or rounds[-1].more:
        rounds.append(tick(routes_of(email=channel), six, for_s=0))
        assert len(channel.taken) <= len(rounds)

    assert set(Reminder.objects.values_list("outcome", flat=True)) == {ReminderOutcome.SENT}
    assert (Reminder.objects.count(), len(channel.taken)) == (4, 5)
    assert sum(one.looked for one in rounds) == 4
