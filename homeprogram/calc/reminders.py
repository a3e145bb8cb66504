"""Which reminder goes to a patient at which moment, or why none does.

Few and never late: one on a due day with nothing logged, capped over all channels
together, never in quiet hours, and none for a moment that has passed by. A week is
any seven calendar days of the patient, a day is the one on the patient's wall.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from homeprogram.calc.day_status import DayCounts
from homeprogram.calc.days import ONE_DAY, days_between, local_day
from homeprogram.calc.limits import (
    PREVIEW_DAYS,
    QUIET_FROM_HOUR,
    QUIET_UNTIL_HOUR,
    REMINDER_WINDOW_H,
    REMINDERS_A_DAY,
    REMINDERS_A_WEEK,
    REMINDERS_UNANSWERED,
    WEEK_DAYS,
)
from homeprogram.calc.schedule import DueDay

WINDOW = timedelta(hours=REMINDER_WINDOW_H)


class DayState(StrEnum):
    OPEN = "open"  # something is due and nothing was logged
    LOGGED = "logged"
    RESTING = "resting"  # paused, on hold or excused
    NOT_DUE = "not_due"  # an off day, before the program or after its end


class Wording(StrEnum):
    NOTHING_LOGGED = "nothing_logged"  # the phone was heard today and had nothing
    NOTHING_HEARD = "nothing_heard"  # it may all be done and wait on the phone


# What a push holds of it, so that every one is of one size; the phone's worker has the words.
LETTER_OF = {Wording.NOTHING_LOGGED: "l", Wording.NOTHING_HEARD: "h"}


class Why(StrEnum):
    """Why no reminder goes out."""

    OFF = "off"
    NO_CHANNEL = "no_channel"
    LOGGED = "logged"
    RESTING = "resting"
    NOT_DUE = "not_due"
    DAY_CAP = "day_cap"
    WEEK_CAP = "week_cap"
    UNANSWERED = "unanswered"  # back to one a week
    NO_TIME = "no_time"  # that day has no such moment, or no time is set
    QUIET_HOURS = "quiet_hours"
    PASSED = "passed"  # its window is over, or it was set later than that


WHY_OF_STATE = {
    DayState.LOGGED: Why.LOGGED,
    DayState.RESTING: Why.RESTING,
    DayState.NOT_DUE: Why.NOT_DUE,
}


@dataclass(frozen=True, slots=True)
class QuietHours:
    """From one wall time to another, over midnight or not; the first belongs to it."""

    starts: time = time(QUIET_FROM_HOUR)
    ends: time = time(QUIET_UNTIL_HOUR)

    def __post_init__(self) -> None:
        if self.starts == self.ends:
            raise ValueError("Quiet hours start and end at different times.")

    def covers(self, wall: time) -> bool:
        if self.starts < self.ends:
            return self.starts <= wall < self.ends
        return wall >= self.starts or wall < self.ends


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was set for a patient. `since`: no reminder goes for a moment before it."""

    times: tuple[time, ...]
    channels: tuple[str, ...]  # the first one takes it; a second never doubles it
    on: bool = True
    quiet: QuietHours = QuietHours()
    since: datetime | None = None


@dataclass(frozen=True, slots=True)
class Sent:
    """A reminder that went out, or was claimed and may have; `day` is the patient's."""

    at: datetime
    day: date
    channel: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """Everything the decision rests on, for one patient."""

    wanted: Wanted
    zone: ZoneInfo
    state_of: Callable[[date], DayState]
    sent: Collection[Sent] = ()
    answered: Collection[datetime] = ()  # when the patient logged anything, on the phone
    heard_at: datetime | None = None  # the phone's last contact


@dataclass(frozen=True, slots=True)
class Planned:
    """One day's reminder: from `at` and before `until`, or `why` there is none."""

    day: date
    at: datetime | None = None
    until: datetime | None = None
    channel: str = ""
    why: Why | None = None
    wording: Wording | None = None  # only known at the moment of sending


def day_state(limbs: Iterable[tuple[DueDay, DayCounts]]) -> DayState:
    """One day of a patient over all limbs: whatever was logged for one answers for all."""
    limbs = list(limbs)
    if any(row.bouts_done or row.bouts_partial or row.not_done for _, row in limbs):
        return DayState.LOGGED
    if any(due.due and not row.excused for due, row in limbs):
        return DayState.OPEN
    resting = any(due.paused or row.excused for due, row in limbs)
    return DayState.RESTING if resting else DayState.NOT_DUE


def moment_on(day: date, wall: time, zone: ZoneInfo) -> datetime:
    """That wall time as a moment, read as RFC 5545 3.3.5 does.

    A time the clocks leave out is read with the offset before it, so it moves
    forward by the gap; of a time that comes twice it is the first.
    """
    return datetime.combine(day, wall.replace(fold=0), tzinfo=zone).astimezone(UTC)


def _wall(moment: datetime, zone: ZoneInfo) -> time:
    return moment.astimezone(zone).time()


def reminder_due(case: Case, now: datetime) -> Planned | None:
    """The reminder to be sent at this very moment, with its wording."""
    planned = planned_on(case, local_day(now, case.zone), now)
    if planned.why or planned.at > now:
        return None
    # Asked of the wall clock itself: it may have been changed since the window opened.
    if case.wanted.quiet.covers(_wall(now, case.zone)):
        return None
    start = moment_on(planned.day, time(), case.zone)
    heard = case.heard_at is not None and case.heard_at >= start
    return replace(planned, wording=Wording.NOTHING_LOGGED if heard else Wording.NOTHING_HEARD)


def preview(case: Case, now: datetime, days: int = PREVIEW_DAYS) -> list[Planned]:
    """What goes out from today on if nothing is logged and nothing is heard."""
    today = local_day(now, case.zone)
    found = []
    for day in days_between(today, today + (days - 1) * ONE_DAY):
        planned = planned_on(case, day, now)
        found.append(planned)
        if planned.why is None:
            gone = Sent(max(planned.at, now), day, planned.channel)
            case = replace(case, sent=(*case.sent, gone))
    return found


def next_look(wanted: Wanted, zone: ZoneInfo, now: datetime) -> datetime | None:
    """When a reminder may next begin to be due; None = never as things are set."""
    if not wanted.on or not wanted.times:
        return None
    today = local_day(now, zone)
    days = days_between(today - ONE_DAY, today + 2 * ONE_DAY)  # one of them may not exist
    starts = [moment_on(day, wall, zone) for day in days for wall in wanted.times]
    return min(at for at in starts if at > now)


def contact_now(case: Case, now: datetime) -> Planned:
    """A request by hand to get in touch: whatever is due, it keeps the caps and the night."""
    day = local_day(now, case.zone)
    if not case.wanted.channels:
        return Planned(day, why=Why.NO_CHANNEL)
    if case.wanted.quiet.covers(_wall(now, case.zone)):
        return Planned(day, why=Why.QUIET_HOURS)
    if why := _full(case, day):
        return Planned(day, why=why)
    until = min(_ends(day, now, case.wanted.quiet, case.zone))
    return Planned(day, now, until, case.wanted.channels[0])


def planned_on(case: Case, day: date, now: datetime) -> Planned:
    """That day's reminder as it stands now: the first time that is not over yet."""
    why = _why_not(case, day, now)
    if why:
        return Planned(day, why=why)
    slots = [_slot(case, day, wall, now) for wall in sorted(case.wanted.times)]
    open_ones = [slot for slot in slots if slot.why is None]
    return (open_ones or slots[-1:] or [Planned(day, why=Why.NO_TIME)])[0]


def _why_not(case: Case, day: date, now: datetime) -> Why | None:
    """What speaks against that day as a whole."""
    if not case.wanted.on:
        return Why.OFF
    if not case.wanted.channels:
        return Why.NO_CHANNEL
    return WHY_OF_STATE.get(case.state_of(day)) or _capped(case, day, now)


def _full(case: Case, day: date) -> Why | None:
    days = [one.day for one in case.sent]
    if days.count(day) >= REMINDERS_A_DAY:
        return Why.DAY_CAP
    return Why.WEEK_CAP if _fullest_week(days, day) >= REMINDERS_A_WEEK else None


def _capped(case: Case, day: date, now: datetime) -> Why | None:
    if why := _full(case, day):
        return why
    days = [one.day for one in case.sent]
    last_answer = max((at for at in case.answered if at <= now), default=None)
    unanswered = [one.day for one in case.sent if last_answer is None or one.at > last_answer]
    weekly = len(unanswered) >= REMINDERS_UNANSWERED
    if weekly and any(abs((day - one).days) < WEEK_DAYS for one in days):
        return Why.UNANSWERED
    return None


def _fullest_week(days: Collection[date], day: date) -> int:
    """The most that lie in any seven days around this one; a fast clock may be ahead of us."""
    firsts = (day - n * ONE_DAY for n in range(WEEK_DAYS))
    return max(sum(0 <= (one - first).days < WEEK_DAYS for one in days) for first in firsts)


def _slot(case: Case, day: date, wall: time, now: datetime) -> Planned:
    wanted, zone = case.wanted, case.zone
    at = moment_on(day, wall, zone)
    if local_day(at, zone) != day:  # the clocks left out the rest of that day
        return Planned(day, why=Why.NO_TIME)
    if wanted.quiet.covers(_wall(at, zone)):
        return Planned(day, why=Why.QUIET_HOURS)
    until = min(_ends(day, at, wanted.quiet, zone))
    if now >= until or (wanted.since is not None and at < wanted.since):
        return Planned(day, why=Why.PASSED)
    return Planned(day, at, until, wanted.channels[0])


def _ends(day: date, at: datetime, quiet: QuietHours, zone: ZoneInfo) -> Iterator[datetime]:
    """What ends a window: its length, the day, the quiet hours; the clocks may jump into those."""
    yield at + WINDOW
    yield moment_on(day + ONE_DAY, time(), zone)
    starts = moment_on(day, quiet.starts, zone)
    if starts > at:
        yield starts
