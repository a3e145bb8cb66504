"""Reminders: few, on due days only, never late and never at night, in any zone."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from importlib import resources
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.day_status import DayCounts
from homeprogram.calc.reminders import (
    Case,
    DayState,
    QuietHours,
    Sent,
    Wanted,
    Why,
    Wording,
    day_state,
    moment_on,
    planned_on,
    preview,
    reminder_due,
)
from homeprogram.calc.schedule import DueDay
from tests.rules.build import MONDAY, due, many, off, some

ZONES = sorted(resources.files("tzdata").joinpath("zones").read_text("utf-8").split())
CHANNELS = ("push", "email", "text")
AT_SIX = Wanted(times=(time(18),), channels=("push",))
LONDON = ZoneInfo("Europe/London")
SIX = datetime(2030, 3, 4, 18, tzinfo=UTC)  # London is on UTC that week


def always(state: DayState = DayState.OPEN):
    return lambda day: state


def case(**changes) -> Case:
    return Case(**{"wanted": AT_SIX, "zone": LONDON, "state_of": always()} | changes)


def sent_on(*days_ago: int) -> list[Sent]:
    return [Sent(SIX - timedelta(days=n), MONDAY - timedelta(days=n), "text") for n in days_ago]


def minutes(count: float) -> timedelta:
    return timedelta(minutes=count)


# --- one day ------------------------------------------------------------------------


def test_it_goes_at_its_time_and_not_before():
    found = reminder_due(case(), SIX)

    assert (found.at, found.until, found.channel) == (SIX, SIX + timedelta(hours=3), "push")
    assert reminder_due(case(), SIX - minutes(1)) is None


def test_after_its_window_it_is_dropped_and_never_made_up_for():
    early = case(wanted=replace(AT_SIX, times=(time(9),)))
    nine = SIX - timedelta(hours=9)

    assert reminder_due(early, nine + timedelta(hours=6) - minutes(1)) is not None
    assert reminder_due(early, nine + timedelta(hours=6)) is None
    assert planned_on(early, MONDAY, nine + timedelta(hours=6)).why is Why.PASSED


def test_a_second_time_of_the_day_steps_in_when_the_first_was_dropped():
    twice = case(wanted=replace(AT_SIX, times=(time(18), time(9))))

    assert planned_on(twice, MONDAY, SIX - timedelta(hours=10)).at.hour == 9
    assert planned_on(twice, MONDAY, SIX - minutes(5)).at.hour == 18


def test_a_window_ends_where_quiet_hours_start():
    late = replace(AT_SIX, times=(time(22),), quiet=QuietHours(time(23), time(7)))

    assert planned_on(case(wanted=late), MONDAY, SIX).until.hour == 23


@pytest.mark.parametrize("wall", [time(21), time(23, 59), time(0), time(7, 59)])
def test_a_time_in_quiet_hours_sends_nothing(wall):
    found = planned_on(case(wanted=replace(AT_SIX, times=(wall,))), MONDAY, SIX - timedelta(days=1))

    assert found.why is Why.QUIET_HOURS


@pytest.mark.parametrize("wall", [time(8), time(20, 59)])
def test_the_last_minute_before_and_the_first_after_quiet_hours_may_send(wall):
    found = planned_on(case(wanted=replace(AT_SIX, times=(wall,))), MONDAY, SIX - timedelta(days=1))

    assert found.why is None


def test_quiet_hours_within_a_day_begin_on_their_minute_and_end_before_it():
    noon = QuietHours(time(12), time(14))
    walls = (time(11, 59), time(12), time(13, 59), time(14), time(22))

    assert [noon.covers(wall) for wall in walls] == [False, True, True, False, False]


def test_a_window_over_midnight_ends_with_its_day():
    owl = replace(AT_SIX, times=(time(22),), quiet=QuietHours(time(5), time(7)))

    assert planned_on(case(wanted=owl), MONDAY, SIX).until == SIX + timedelta(hours=6)


def test_clocks_that_jump_into_quiet_hours_close_an_open_window():
    """In London 01:00 is followed by 02:00, and quiet hours start at 01:30."""
    owl = replace(AT_SIX, times=(time(0, 30),), quiet=QuietHours(time(1, 30), time(7)))
    jump = datetime(2030, 3, 31, 1, tzinfo=UTC)

    assert reminder_due(case(wanted=owl), jump - minutes(1)) is not None
    assert reminder_due(case(wanted=owl), jump) is None


def test_quiet_hours_that_last_a_whole_day_or_none_are_refused():
    with pytest.raises(ValueError, match="different times"):
        QuietHours(time(8), time(8))


@pytest.mark.parametrize(
    ("state", "why"),
    [
        (DayState.LOGGED, Why.LOGGED),
        (DayState.RESTING, Why.RESTING),
        (DayState.NOT_DUE, Why.NOT_DUE),
    ],
)
def test_only_a_due_day_with_nothing_logged_gets_one(state, why):
    other = case(state_of=always(state))

    assert reminder_due(other, SIX) is None
    assert planned_on(other, MONDAY, SIX).why is why


def test_what_is_switched_off_or_has_no_way_out_sends_nothing():
    off_now = case(wanted=replace(AT_SIX, on=False))
    nowhere = case(wanted=replace(AT_SIX, channels=()))
    never = case(wanted=replace(AT_SIX, times=()))

    assert planned_on(off_now, MONDAY, SIX).why is Why.OFF
    assert planned_on(nowhere, MONDAY, SIX).why is Why.NO_CHANNEL
    assert planned_on(never, MONDAY, SIX).why is Why.NO_TIME


def test_switching_it_on_in_the_evening_sends_none_for_the_afternoon():
    just_now = case(wanted=replace(AT_SIX, since=SIX + minutes(1)))

    assert planned_on(just_now, MONDAY, SIX + minutes(2)).why is Why.PASSED


def test_the_wording_tells_nothing_logged_from_nothing_heard():
    midnight = SIX - timedelta(hours=18)

    assert reminder_due(case(heard_at=midnight), SIX).wording is Wording.NOTHING_LOGGED
    assert reminder_due(case(heard_at=midnight - minutes(1)), SIX).wording is (
        Wording.NOTHING_HEARD
    )
    assert reminder_due(case(), SIX).wording is Wording.NOTHING_HEARD


# --- over the limbs -----------------------------------------------------------------

NOTHING, DONE = DayCounts(), DayCounts(bouts_done=1)
PAUSED = DueDay(paused=True, per_day=1)


@pytest.mark.parametrize(
    ("limbs", "expected"),
    [
        ([], DayState.NOT_DUE),
        ([(off(), NOTHING)], DayState.NOT_DUE),
        ([(due(), NOTHING)], DayState.OPEN),
        ([(due(), DONE)], DayState.LOGGED),
        ([(due(), DayCounts(bouts_partial=1))], DayState.LOGGED),
        ([(due(), DayCounts(not_done=1))], DayState.LOGGED),
        ([(due(), DayCounts(excused=True))], DayState.RESTING),
        ([(PAUSED, NOTHING)], DayState.RESTING),
        ([(PAUSED, NOTHING), (due(), NOTHING)], DayState.OPEN),
        ([(due(), DONE), (due(), NOTHING)], DayState.LOGGED),
    ],
)
def test_a_day_is_judged_over_all_limbs(limbs, expected):
    assert day_state(limbs) is expected
    assert day_state(reversed(limbs)) is expected


# --- caps ---------------------------------------------------------------------------

ANSWERED = [SIX - minutes(1)]


def test_one_a_day_whatever_channel_took_it():
    assert planned_on(case(sent=sent_on(0)), MONDAY, SIX).why is Why.DAY_CAP


def test_three_in_any_seven_days():
    full = case(sent=sent_on(6, 3, 1), answered=ANSWERED)
    free_again = case(sent=sent_on(7, 3, 1), answered=ANSWERED)

    assert planned_on(full, MONDAY, SIX).why is Why.WEEK_CAP
    assert planned_on(free_again, MONDAY, SIX).why is None


def test_a_send_that_another_machines_clock_dated_ahead_counts_too():
    ahead = case(sent=sent_on(-1, -2, -3), answered=ANSWERED)

    assert planned_on(ahead, MONDAY, SIX).why is Why.WEEK_CAP


def test_three_without_an_answer_make_it_weekly_until_one_comes():
    unanswered = sent_on(18, 12, 6)

    assert planned_on(case(sent=unanswered), MONDAY, SIX).why is Why.UNANSWERED
    assert planned_on(case(sent=sent_on(19, 13, 7)), MONDAY, SIX).why is None
    assert planned_on(case(sent=unanswered, answered=ANSWERED), MONDAY, SIX).why is None


def test_what_was_logged_in_the_second_of_a_reminder_answers_it():
    first = sent_on(18)[0]

    assert planned_on(case(sent=sent_on(18, 12, 6), answered=[first.at]), MONDAY, SIX).why is None


def test_an_answer_from_a_phone_whose_clock_is_ahead_does_not_count_yet():
    ahead = case(sent=sent_on(18, 12, 6), answered=[SIX + minutes(1)])

    assert planned_on(ahead, MONDAY, SIX).why is Why.UNANSWERED


# --- what is to come ----------------------------------------------------------------


def test_the_preview_names_three_days_and_then_one_a_week():
    goes = [one.day.day for one in preview(case(), SIX - timedelta(hours=1)) if not one.why]

    assert goes == [4, 5, 6, 13]


def test_the_preview_counts_one_that_goes_at_once():
    assert preview(case(), SIX + minutes(5))[0].why is None
    assert [one.why for one in preview(case(), SIX + minutes(5))[1:4]] == [None, None, Why.WEEK_CAP]


def test_the_preview_leaves_out_off_days_and_ends_with_the_program():
    last = MONDAY + timedelta(days=4)

    def mondays_and_fridays(day: date) -> DayState:
        return DayState.OPEN if day.weekday() in (0, 4) and day <= last else DayState.NOT_DUE

    found = preview(case(state_of=mondays_and_fridays), SIX)

    assert len(found) == 14
    assert [one.day for one in found if not one.why] == [MONDAY, last]


@many
@suppose(st.data())
def test_what_the_preview_promises_is_what_a_clock_sends(data):
    """Ticks of one minute around each promise, nothing logged, nothing heard."""
    now = data.draw(moments)
    asked = data.draw(cases(now))
    promised = [one for one in preview(asked, now) if not one.why]
    for one in promised:
        at = max(one.at, now)
        found = reminder_due(asked, at)
        assert (found.day, found.at, found.channel) == (one.day, one.at, one.channel)
        asked = replace(asked, sent=[*asked.sent, Sent(at, one.day, one.channel)])


# --- clock changes ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zone", "day", "wall", "utc_hour"),
    [
        ("Europe/London", date(2030, 3, 31), time(1, 30), 1.5),  # left out: read as 02:30
        ("Europe/London", date(2030, 10, 27), time(1, 30), 0.5),  # twice: the first
        ("America/Santiago", date(2030, 9, 8), time(0, 30), 4.5),  # midnight is left out
        ("Australia/Lord_Howe", date(2030, 10, 6), time(2, 15), 15.75 - 24),
    ],
)
def test_a_time_in_a_gap_moves_forward_and_one_in_a_fold_is_the_first(zone, day, wall, utc_hour):
    expected = datetime.combine(day, time(), tzinfo=UTC) + timedelta(hours=utc_hour)

    assert moment_on(day, wall, ZoneInfo(zone)) == expected


def test_the_day_apia_never_had_gets_no_reminder_of_its_own():
    apia = case(zone=ZoneInfo("Pacific/Apia"))
    before = datetime(2011, 12, 30, 0, tzinfo=UTC)

    assert planned_on(apia, date(2011, 12, 30), before).why is Why.NO_TIME
    assert planned_on(apia, date(2011, 12, 31), before).why is None


def test_in_every_zone_reminder_and_quiet_hours_keep_their_wall_time_through_the_year():
    """Against dateutil; no zone of today changes its clocks between 8 and 21 o'clock."""
    evening = replace(AT_SIX, times=(time(19, 30),))
    days = [date(2026, 1, 1) + timedelta(days=n) for n in range(0, 366, 3)]
    before = datetime(2025, 1, 1, tzinfo=UTC)
    for name in ZONES:
        asked, reference = case(zone=ZoneInfo(name), wanted=evening), tz.gettz(name)
        found = [planned_on(asked, day, before) for day in days]
        starts = [one.at.astimezone(reference).replace(tzinfo=None) for one in found]
        ends = [one.until.astimezone(reference).replace(tzinfo=None) for one in found]
        assert starts == [datetime.combine(day, time(19, 30)) for day in days], name
        assert ends == [datetime.combine(day, time(21)) for day in days], name


# --- any history --------------------------------------------------------------------

YEARS = datetime(2025, 1, 1, tzinfo=UTC), 3 * 365 * 24 * 60  # [min]
moments = st.integers(0, YEARS[1]).map(lambda count: YEARS[0] + timedelta(minutes=count))
walls = st.times().map(lambda wall: wall.replace(second=0, microsecond=0))
quiets = st.one_of(
    st.just(QuietHours()),
    st.tuples(walls, walls).filter(lambda two: two[0] != two[1]).map(lambda two: QuietHours(*two)),
)
wanteds = st.builds(
    Wanted,
    times=st.lists(walls, min_size=1, max_size=4).map(tuple),
    channels=st.lists(st.sampled_from(CHANNELS), min_size=1, unique=True).map(tuple),
    quiet=quiets,
)


@st.composite
def cases(draw, now: datetime) -> Case:
    zone = ZoneInfo(draw(st.sampled_from(ZONES)))
    states = draw(st.lists(st.sampled_from(list(DayState)), min_size=5, max_size=9))
    back = st.integers(0, 25 * 24 * 60).map(lambda n: now - minutes(n))
    sends = draw(st.lists(st.tuples(back, st.sampled_from(CHANNELS)), max_size=6))
    return Case(
        wanted=draw(wanteds),
        zone=zone,
        state_of=lambda day: states[day.toordinal() % len(states)],
        sent=[Sent(at, at.astimezone(zone).date(), channel) for at, channel in sends],
        answered=draw(st.lists(back, max_size=4)),
        heard_at=draw(st.none() | back),
    )


@some
@suppose(st.data())
def test_caps_and_quiet_hours_hold_for_any_zone_history_and_mix_of_channels(data):
    """A month of irregular ticks of a clock whose settings change; every send is looked at."""
    now = data.draw(moments)
    asked = data.draw(cases(now))
    asked = replace(asked, sent=[])
    for step in data.draw(st.lists(st.integers(5, 900), min_size=40, max_size=60)):
        now += minutes(step)
        if step % 50 == 0:
            asked = replace(asked, wanted=data.draw(wanteds))
        if step % 7 == 0:
            asked = replace(asked, answered=[*asked.answered, now])
        found = reminder_due(asked, now)
        if found:
            wall = now.astimezone(asked.zone)
            assert not asked.wanted.quiet.covers(wall.time())
            assert wall.date() == found.day
            assert asked.state_of(found.day) is DayState.OPEN
            assert found.at <= now < found.until <= found.at + timedelta(hours=6)
            assert weekly_rule_kept(asked, found.day)
            asked = replace(asked, sent=[*asked.sent, Sent(now, found.day, found.channel)])
    days = sorted(one.day for one in asked.sent)
    assert max(Counter(days).values(), default=0) <= 1
    assert all((later - first).days >= 7 for first, later in zip(days, days[3:], strict=False))


def weekly_rule_kept(asked: Case, day: date) -> bool:
    """Told from the last three alone: all of them after the last answer, and near."""
    last_three = sorted(asked.sent, key=lambda one: one.at)[-3:]
    if len(last_three) < 3 or any(at >= last_three[0].at for at in asked.answered):
        return True
    return (day - last_three[-1].day).days >= 7


@many
@suppose(st.data())
def test_the_order_of_the_history_does_not_matter(data):
    now = data.draw(moments)
    asked = data.draw(cases(now))
    mixed = replace(
        asked,
        sent=data.draw(st.permutations(asked.sent)),
        answered=data.draw(st.permutations(asked.answered)),
        wanted=replace(asked.wanted, times=tuple(data.draw(st.permutations(asked.wanted.times)))),
    )

    assert reminder_due(asked, now) == reminder_due(mixed, now)
    assert preview(asked, now) == preview(mixed, now)
