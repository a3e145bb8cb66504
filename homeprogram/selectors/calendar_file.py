"""A patient's due days as a calendar file (RFC 5545), for the alarms of their own phone.

Times float: the program's days are those of the wall where the patient is, clock
changes and travel included, and the phone that rings knows its zone. Nothing in the
file tells of health, and its name for the patient can't be turned back into them.
"""

import hashlib
from datetime import date, datetime, time, timedelta

from django.utils import translation
from icalendar import Alarm, Calendar, Event

from homeprogram.calc.calendar_rule import CalendarRule, calendar_rule
from homeprogram.calc.days import ONE_DAY, days_between
from homeprogram.calc.limits import CALENDAR_WEEKS
from homeprogram.calc.schedule import due_on
from homeprogram.models import Patient
from homeprogram.selectors.plans import Context

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
LASTS = timedelta(minutes=15)


def days_to_ring(context: Context, wall: time) -> list[date]:
    """Days from now on with a bout due on any limb; today only if its time is to come."""
    here = context.now.astimezone(context.zone)
    last = context.today + timedelta(weeks=CALENDAR_WEEKS) - ONE_DAY
    plans = [context.plan(episode) for episode in context.episodes]
    return [
        day
        for day in days_between(context.today, last)
        if (day > context.today or wall > here.time())
        and any(due_on(plan, day).due for plan in plans)
    ]


def calendar_file(context: Context, wall: time, *, language: str) -> bytes | None:
    """None when nothing is due."""
    rule = calendar_rule(set(days_to_ring(context, wall)))
    if rule is None:
        return None
    with translation.override(language):
        title = translation.gettext("sheet.reminder")
    calendar = Calendar()
    calendar.add("prodid", "-//reminder//1//EN")
    calendar.add("version", "2.0")
    calendar.add_component(_event(context.patient, rule, wall, title, context.now))
    return calendar.to_ical()


def _event(patient: Patient, rule: CalendarRule, wall: time, title: str, now: datetime) -> Event:
    def on(day: date) -> datetime:
        return datetime.combine(day, wall)  # no zone: it floats

    event = Event()
    event.add("uid", hashlib.sha256(f"calendar {patient.id}".encode()).hexdigest()[:32])
    event.add("dtstamp", now)
    # Seconds since the patient was added: any later file is the higher one, without a memory.
    event.add("sequence", max(0, int((now - patient.created_at).total_seconds())))
    event.add("dtstart", on(rule.first))
    event.add("duration", LASTS)
    weekdays = [WEEKDAYS[n] for n in rule.weekdays]
    event.add("rrule", {"freq": "weekly", "until": on(rule.last), "byday": weekdays})
    if rule.left_out:
        event.add("exdate", [on(day) for day in rule.left_out])
    event.add("summary", title)
    event.add("class", "PRIVATE")
    event.add("transp", "TRANSPARENT")
    event.add_component(_alarm(title))
    return event


def _alarm(title: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", title)
    alarm.add("trigger", timedelta(0))
    return alarm
