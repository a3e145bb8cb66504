"""The working week, absences and closures on record, and whom a safety flag waits for."""

from datetime import date, timedelta

import pytest
from django.db import connection

from clinician.models import Absence
from clinician.selectors.duty import staff_of, waiting_of
from clinician.services.duty import absence_record, absence_take_back, week_set
from homeprogram.calc import duty
from homeprogram.errors import RuleBroken
from homeprogram.models import Flag, SettingChange
from homeprogram.services.clinics import clinician_deactivate
from tests.conftest import make_clinic, make_clinician
from tests.entries import skin
from tests.support.concurrency import at_once, committed
from tests.support.pushes import push_at

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
MONDAY = date(2030, 3, 4)


def on_duty(*, clinic, at) -> list:
    staff = staff_of(clinic=clinic, since=at.date())
    return staff.those(duty.on_duty(staff.roster, at.date()))


def answerers(*, flag, at) -> list:
    return waiting_of(clinic=flag.clinic, flags=[flag], at=at)[flag.id].asked


@pytest.fixture
def cover(clinic, now):
    return make_clinician(clinic, "noor@larkrise.example", now, name="Noor Cover")


@pytest.fixture
def flag(phone, episode, now) -> Flag:
    """A raised patch on Monday at 9; nobody has looked."""
    push_at(phone, now, phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id)))
    return Flag.objects.select_related("patient", "clinic").get(reason="skin_reaction")


def away(clinician, cover, now, first: date = MONDAY, last: date = MONDAY, **more) -> Absence:
    told = {"clinician": clinician, "by": cover} | more
    return absence_record(
        clinic=cover.clinic, first_day=first, last_day=last, cover=cover, now=now, **told
    )


def test_who_has_set_no_week_works_from_monday_to_friday(clinic, clinician, lead, now):
    assert on_duty(clinic=clinic, at=now) == [lead, clinician]
    assert on_duty(clinic=clinic, at=now + 5 * DAY) == []


def test_a_week_of_ones_own_counts(clinic, clinician, lead, now):
    week_set(clinician=clinician, weekdays=[5, 1], cover=None, by=lead, now=now)

    assert on_duty(clinic=clinic, at=now) == [lead]
    assert on_duty(clinic=clinic, at=now + 5 * DAY) == [clinician]


def test_a_change_of_the_week_is_written_down_once(clinic, clinician, cover, lead, now):
    for _ in range(2):
        week_set(clinician=clinician, weekdays=[1, 2], cover=cover, by=lead, now=now)

    noted = SettingChange.objects.get()
    assert (noted.kind, noted.person, noted.by, noted.at) == ("roster", clinician, lead, now)
    assert noted.before == {"weekdays": [0, 1, 2, 3, 4], "cover": None}
    assert noted.after == {"weekdays": [1, 2], "cover": str(cover.id)}


def test_an_absence_hands_the_flag_to_the_cover(flag, clinician, cover, lead, now):
    assert answerers(flag=flag, at=now) == [clinician]

    away(clinician, cover, now)

    assert answerers(flag=flag, at=now) == [cover]


def test_an_absence_that_was_taken_back_counts_no_more(flag, clinician, cover, now):
    absence = away(clinician, cover, now)

    for _ in range(2):
        absence_take_back(absence=absence, by=clinician, now=now)

    absence.refresh_from_db()
    assert answerers(flag=flag, at=now) == [clinician]
    assert (absence.taken_back_by, absence.taken_back_at) == (clinician, now)


def test_on_a_closed_day_the_one_named_answers(flag, clinician, cover, lead, now):
    away(None, cover, now, by=lead)

    assert answerers(flag=flag, at=now) == [cover]
    assert on_duty(clinic=flag.clinic, at=now) == [cover]


def test_a_cover_whose_access_ended_is_asked_no_more(flag, clinician, cover, lead, now):
    away(clinician, cover, now)
    clinician_deactivate(clinician=cover, by=lead, now=now)

    assert answerers(flag=flag, at=now) == [lead]


def test_an_unseen_flag_goes_on_to_the_cover_and_then_the_lead(flag, clinician, cover, lead, now):
    week_set(clinician=clinician, weekdays=range(7), cover=cover, by=lead, now=now)

    asked = [answerers(flag=flag, at=now + hours * HOUR) for hours in (3, 4, 8)]

    assert asked == [[clinician], [clinician, cover], [clinician, cover, lead]]


def test_the_words_say_for_whom_since_when_and_what_next(flag, clinician, lead, clinic, now):
    told = waiting_of(clinic=clinic, flags=[flag], at=now + 2 * HOUR)[flag.id]

    assert told.words == (
        "Waits for Ro Desk, unseen since 2 hours ago; goes to Ines Lead too at 13:00"
    )
    assert told.asked == [clinician]


def test_another_clinics_lead_is_never_asked(flag, outsider, lead, now):
    assert outsider not in answerers(flag=flag, at=now + 30 * DAY)


def test_a_flag_that_is_not_about_safety_waits_for_nobody(flag, clinic, now):
    flag.safety = False

    assert waiting_of(clinic=clinic, flags=[flag], at=now) == {}


def test_forty_flags_cost_the_one_question_of_one(flag, clinic, now, django_assert_num_queries):
    with django_assert_num_queries(1):
        waiting_of(clinic=clinic, flags=[flag] * 40, at=now)


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"last": MONDAY - DAY}, "days_in_wrong_order"),
        ({"first": MONDAY - DAY}, "days_taken"),
        ({"clinician": "cover", "first": MONDAY + DAY, "last": MONDAY + DAY}, "cover_impossible"),
    ],
)
def test_what_would_leave_open_who_answers_is_refused(clinician, cover, now, told, code):
    away(clinician, cover, now)
    who = cover if told.pop("clinician", None) else clinician

    with pytest.raises(RuleBroken) as refusal:
        away(who, cover, now, **told)

    assert refusal.value.code == code
    assert Absence.objects.count() == 1


def test_who_is_away_that_day_cannot_cover(clinician, cover, lead, now):
    away(cover, lead, now, first=MONDAY, last=MONDAY + 2 * DAY)

    with pytest.raises(RuleBroken) as refusal:
        away(clinician, cover, now, first=MONDAY + 2 * DAY, last=MONDAY + 4 * DAY)

    assert refusal.value.fields["cover"].startswith("Noor Cover is away: Mon 4 Mar 2030 to Wed 6")
    assert away(clinician, cover, now, first=MONDAY + 3 * DAY, last=MONDAY + 4 * DAY)


@pytest.mark.skipif(
    connection.vendor != "postgresql", reason="needs connections that see each other's rows"
)
def test_of_two_who_write_down_one_absence_at_once_one_is_told(
    django_db_setup, django_db_blocker, now
):
    with committed(django_db_blocker):
        clinic = make_clinic(now)
        clinician = make_clinician(clinic, "ro@larkrise.example", now)
        covers = [make_clinician(clinic, f"{n}@larkrise.example", now) for n in range(4)]
        came = at_once(4, lambda n: away(clinician, covers[n], now))

        assert Absence.objects.count() == 1
        assert [one.code for one in came if isinstance(one, RuleBroken)] == ["days_taken"] * 3
