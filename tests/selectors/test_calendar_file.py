"""The calendar file: read by others it rings on the due days, and tells nobody why."""

from datetime import UTC, date, datetime, time, timedelta
from importlib import resources
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from dateutil.rrule import rrulestr
from hypothesis import given as suppose
from hypothesis import strategies as st
from icalendar import Calendar

from homeprogram.calc.calendar_rule import calendar_rule
from homeprogram.calc.reminders import moment_on
from tests.conftest import PairedPhone, make_program
from tests.entries import skin
from tests.rules.build import MONDAY, many
from tests.support.pushes import push_at

ZONES = sorted(resources.files("tzdata").joinpath("zones").read_text("utf-8").split())
SIX = time(18)
WEEKDAYS = (0, 2, 4)


def file_of(patient, now, wall=SIX, language="en") -> bytes | None:
    from homeprogram.selectors.calendar_file import calendar_file
    from homeprogram.selectors.plans import context_of

    context = context_of(patient=patient, now=now, days_back=0)
    return calendar_file(context, wall, language=language)


def event_of(file: bytes):
    return Calendar.from_ical(file).walk("VEVENT")[0]


def rung(file: bytes) -> list[datetime]:
    """Local times at which a calendar rings, reckoned by dateutil from the file's own lines."""
    lines = file.decode().replace("\r\n ", "").split("\r\n")
    rule = [one for one in lines if one.startswith(("DTSTART", "RRULE", "EXDATE"))]
    return list(rrulestr("\n".join(rule)))


def expected(first: date, last: date, weekdays=WEEKDAYS, wall=SIX) -> list[datetime]:
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    return [datetime.combine(day, wall) for day in days if day.weekday() in weekdays]


@pytest.fixture
def named(patient, clinician, now):
    """A program of three days a week that the phone has named."""
    revision = make_program(patient, clinician, now, weekdays=WEEKDAYS)
    push_at(PairedPhone(patient, clinician, now), now, have=[revision.id])
    return revision


def test_it_rings_on_every_due_day_of_twelve_weeks(patient, named, now):
    today = now.date()
    days = rung(file_of(patient, now))

    assert days == expected(today + timedelta(days=1), today + timedelta(days=83))
    assert len(days) >= 34


def test_it_ends_with_the_program(patient, named, now):
    last = now.date() + timedelta(days=20)
    named.program.ended_on = last
    named.program.save(update_fields=["ended_on"])

    assert rung(file_of(patient, now)) == expected(now.date() + timedelta(days=1), last)
    assert file_of(patient, now + timedelta(days=20)) is None


def test_while_a_hold_stands_there_is_none(patient, clinician, now):
    revision = make_program(patient, clinician, now, weekdays=WEEKDAYS)
    phone = PairedPhone(patient, clinician, now)
    push_at(phone, now, have=[revision.id])
    assert file_of(patient, now) is not None
    raised = phone.entry(
        "skin_check", skin(raised=True), episode_id=str(revision.program.episode_id)
    )
    push_at(phone, now, raised)

    assert file_of(patient, now) is None


def test_paused_days_are_left_out(patient, named, clinician, now):
    from homeprogram.services.programs import program_pause

    back = now.date() + timedelta(days=10)
    program_pause(program=named.program, by=clinician, reason="travel", now=now, last_day=back)

    assert rung(file_of(patient, now)) == expected(
        back + timedelta(days=1), now.date() + timedelta(days=83)
    )


def test_a_day_due_for_either_leg_rings_once(patient, named, clinician, now):
    other = make_program(patient, clinician, now, "right", weekdays=(2, 6))
    push_at(PairedPhone(patient, clinician, now, "second"), now, have=[other.id])

    tomorrow, last = now.date() + timedelta(days=1), now.date() + timedelta(days=83)
    assert rung(file_of(patient, now)) == expected(tomorrow, last, (0, 2, 4, 6))


def test_before_the_phone_knows_of_the_program_there_is_none(patient, revision, now):
    assert file_of(patient, now) is None


def test_a_later_file_takes_the_place_of_the_first(patient, named, now):
    first = event_of(file_of(patient, now))
    later = event_of(file_of(patient, now + timedelta(seconds=1), wall=time(19)))

    assert later["uid"] == first["uid"]
    assert later["sequence"] > first["sequence"]


def test_today_rings_only_if_its_time_is_to_come(patient, named, now):
    due = now + timedelta(days=(7 - now.weekday()) % 7 + 7)  # a Monday
    at = due.time().replace(second=0, microsecond=0)
    to_come = (due + timedelta(minutes=5)).time().replace(second=0, microsecond=0)

    assert rung(file_of(patient, due, wall=to_come))[0].date() == due.date()
    assert rung(file_of(patient, due, wall=at))[0].date() == due.date() + timedelta(days=2)


def test_it_says_nothing_of_health_name_or_clinic(patient, named, now):
    event = event_of(file_of(patient, now))
    whole = file_of(patient, now).decode().lower()

    assert (event["summary"], event.walk("VALARM")[0]["description"]) == ("Reminder", "Reminder")
    assert event_of(file_of(patient, now, language="es"))["summary"] == "Aviso"
    for told in ("wilma", "tarn", "larkrise", "boutwise", "knee", "http", str(patient.id)):
        assert told not in whole
    assert not {"url", "location", "description", "organizer", "attendee"} & {
        name.lower() for name in event
    }


def test_the_alarm_rings_at_the_time_itself(patient, named, now):
    alarm = event_of(file_of(patient, now)).walk("VALARM")[0]

    assert (alarm["action"], alarm["trigger"].dt) == ("DISPLAY", timedelta(0))


def test_its_lines_end_and_fold_as_rfc_5545_says(patient, named, clinician, now):
    """Days left out make one long line."""
    for weeks in (1, 3, 5):
        first = now.date() + timedelta(weeks=weeks)
        named.program.pauses.create(
            clinic=clinician.clinic,
            first_day=first,
            last_day=first + timedelta(days=6),
            reason="travel",
            created_by=clinician,
            created_at=now,
        )
    file = file_of(patient, now)
    lines = file.split(b"\r\n")

    assert sum(line.startswith(b" ") for line in lines) >= 1
    assert max(map(len, lines)) <= 75
    assert b"\n" not in file.replace(b"\r\n", b"")
    tomorrow = now.date() + timedelta(days=1)
    assert len(rung(file)) == len(expected(tomorrow, now.date() + timedelta(days=83))) - 9


# --- over the clock changes -----------------------------------------------------------


def year_of_files(patient, named) -> list[datetime]:
    """Local times of files handed out one after the other, a year long."""
    starts = [datetime(2031, 1, 1, 12, tzinfo=UTC) + timedelta(weeks=12 * n) for n in range(5)]
    return sorted({at for start in starts for at in rung(file_of(patient, start))})


@pytest.mark.any_database
def test_over_a_year_in_every_zone_it_rings_when_a_reminder_would_go(patient, named):
    """Floating times, set on the wall of each zone by dateutil: a calendar's own reading."""
    rings = year_of_files(patient, named)
    assert rings == expected(date(2031, 1, 1), rings[-1].date())
    assert len(rings) > 170

    for name in ZONES:
        theirs, ours = tz.gettz(name), ZoneInfo(name)
        read = [tz.resolve_imaginary(at.replace(tzinfo=theirs)) for at in rings]
        due = [moment_on(at.date(), SIX, ours) for at in rings]
        assert [at.astimezone(UTC) for at in read] == due, name


@many
@suppose(
    st.sets(st.integers(0, 120), max_size=60).map(lambda ns: {MONDAY + timedelta(n) for n in ns})
)
def test_any_due_list_is_one_rule_and_comes_back_whole(due_days):
    rule = calendar_rule(due_days)
    if rule is None:
        assert not due_days
        return
    said = [
        day
        for day in (rule.first + timedelta(n) for n in range((rule.last - rule.first).days + 1))
        if day.weekday() in rule.weekdays and day not in rule.left_out
    ]

    assert said == sorted(due_days)
