"""Mail to the clinic's people: safety within the hour and on to the next, the week in numbers."""

from datetime import UTC, datetime, timedelta

import pytest
from django.core import mail

from clinician.models import OptOut, StaffMail
from clinician.services.opt_outs import reminders_stop
from clinician.services.staff_mail_settings import staff_mail_set
from clinician.services.staff_mails import staff_mails_tick
from homeprogram.models import Flag
from tests.entries import skin
from tests.support.pushes import push_at
from tests.support.reminding import SITE, Remembering, agreed, due_patient, evening, routes_of, tick

MONDAY_7 = datetime(2030, 3, 11, 7, 5, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


@pytest.fixture
def raised(phone, lead, episode, now):
    """A skin reaction came at nine on a Monday; the patient's own clinician is on duty."""
    push_at(phone, now, phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id)))
    return Flag.objects.get(reason="skin_reaction")


def mails(at) -> list[str]:
    """Who was written to in one round."""
    mail.outbox.clear()
    staff_mails_tick(now=at, site=SITE)
    return [one.to[0] for one in mail.outbox]


def test_a_safety_flag_is_told_to_who_is_asked_at_the_next_round(raised, clinician, now):
    assert mails(now + MINUTE) == [clinician.user.email]


def test_it_is_told_once_to_each(raised, now):
    mails(now + MINUTE)

    assert mails(now + 2 * MINUTE) == []


def test_while_nobody_has_seen_it_the_next_is_told_too(raised, clinician, lead, now):
    mails(now + MINUTE)

    later = [mails(now + timedelta(hours=hours)) for hours in range(1, 10)]

    assert [one for several in later for one in several] == [lead.user.email]


def test_once_seen_nobody_else_is_told(raised, clinician, now):
    mails(now + MINUTE)
    Flag.objects.filter(id=raised.id).update(seen_at=now + 2 * MINUTE, seen_by=clinician)

    assert [mails(now + timedelta(hours=hours)) for hours in range(1, 10)] == [[]] * 9


def test_a_flag_that_is_not_about_safety_is_told_by_no_mail(phone, now):
    note = phone.entry("note_to_clinic", {"text": "Please call.", "wants_contact": True})
    push_at(phone, now, note)

    assert Flag.objects.filter(state="open").exists()
    assert mails(now + MINUTE) == []


def test_no_mail_names_the_patient_or_what_is_the_matter(raised, clinician, now):
    staff_mail_set(clinician=clinician, digest=True)
    mails(now + MINUTE)
    staff_mails_tick(now=MONDAY_7, site=SITE)

    said = " ".join(f"{one.subject} {one.body}" for one in mail.outbox)
    assert len(mail.outbox) >= 2
    assert not [word for word in ("Wilma", "Tarn", "skin", "knee", "LEFT") if word in said]


def test_a_safety_mail_whose_worker_died_is_sent_again(raised, clinician, now, monkeypatch):
    with monkeypatch.context() as broken:
        broken.setattr("django.core.mail.backends.locmem.EmailBackend.send_messages", _dies)
        with pytest.raises(SystemExit):
            staff_mails_tick(now=now + MINUTE, site=SITE)

    assert mails(now + 2 * MINUTE) == []  # its lease still runs
    assert mails(now + 7 * MINUTE) == [clinician.user.email]
    assert StaffMail.objects.get().tries == 2


def _dies(*_) -> None:
    raise SystemExit


@pytest.fixture
def failing(settings):
    """A round while the mail server is away."""

    def tick(at):
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9  # nothing listens there
        done = staff_mails_tick(now=at, site=SITE)
        settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
        return done

    return tick


def test_a_mail_server_that_is_away_delays_the_mail_and_stops_no_other(raised, now, failing):
    done = failing(now + MINUTE)

    assert (done.sent, done.failed) == (0, 1)
    assert len(mails(now + 7 * MINUTE)) == 1


def test_a_safety_mail_outlasts_a_mail_server_that_is_away_for_days(
    raised, clinician, now, failing
):
    for hours in range(48):
        failing(now + timedelta(hours=hours, minutes=1))

    assert clinician.user.email in mails(now + timedelta(hours=48, minutes=1))


def test_a_mail_that_waits_is_not_sent_to_somebody_who_left(raised, clinician, now, failing):
    failing(now + MINUTE)
    type(clinician).objects.filter(id=clinician.id).update(active=False)

    assert clinician.user.email not in mails(now + 7 * MINUTE)


def test_a_digest_that_waits_is_not_sent_to_who_wants_it_no_more(clinician, failing):
    staff_mail_set(clinician=clinician, digest=True)
    failing(MONDAY_7)
    staff_mail_set(clinician=clinician, digest=False)

    assert mails(MONDAY_7 + 7 * MINUTE) == []


def test_the_digest_comes_once_on_monday_morning_to_who_asked(patient, clinician, lead):
    staff_mail_set(clinician=clinician, digest=True)

    assert mails(MONDAY_7 - timedelta(minutes=10)) == []
    assert mails(MONDAY_7) == [clinician.user.email]
    assert "- 1 patient in your care" in mail.outbox[0].body
    assert mails(MONDAY_7 + timedelta(hours=1)) == []
    assert mails(MONDAY_7 + timedelta(days=1)) == []
    assert mails(MONDAY_7 + timedelta(days=7)) == [clinician.user.email]


def test_the_digest_goes_by_the_clinics_own_clock(patient, clinician):
    type(clinician.clinic).objects.update(zone="Pacific/Auckland")  # +13
    staff_mail_set(clinician=clinician, digest=True)

    assert mails(MONDAY_7) == []
    assert mails(datetime(2030, 3, 10, 18, 5, tzinfo=UTC)) == [clinician.user.email]


@pytest.mark.parametrize(("stopping", "told"), [(0, 0), (1, 1)])
def test_many_refusals_are_told_to_the_lead_once_a_month(clinician, lead, now, stopping, told):
    people = [due_patient(clinician, now, f"Una {n}") for n in range(5)]
    for one in people:
        agreed(one, clinician, now, email="una@post.example")
    tick(routes_of(email=Remembering()), evening(now))
    for one in people[:stopping]:
        reminders_stop(patient=one, ways=["email"], now=evening(now))

    assert OptOut.objects.count() == stopping
    assert len(mails(now + timedelta(days=2))) == told
    assert mails(now + timedelta(days=3)) == []
