"""Counting the dose of a bout: seconds in, contractions and minutes out.

Source of the conventions: Conley et al. 2021, Sports Health 13(2):116-127,
Table 5, prints on/off pairs beside ramps; a knee osteoarthritis course that
prints 7 min for ten contractions of 6 s : 30 s with two 3 s ramps can only be
counting the ramps outside the on time. Most papers do not say.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import floor

# Guards against binary fractions: 300 s / 0.1 s is 3000, not 2999; 0.6 s holds 0.4 and 0.2 s.
ROUNDING = 1e-9


class RampConvention(StrEnum):
    """Where a ramp is counted; papers and stimulators differ."""

    INSIDE = "inside"  # both ramps are part of the on time
    OUTSIDE = "outside"  # the on time is the plateau alone
    UP_INSIDE = "up_inside"  # up inside the on time, down inside the off time


@dataclass(frozen=True)
class Timing:
    """One contraction and its rest, all in seconds."""

    on_s: float
    off_s: float
    ramp_up_s: float = 0.0
    ramp_down_s: float = 0.0
    convention: RampConvention = RampConvention.INSIDE


def timing(
    *, on_s: float, off_s: float, ramp_up_s: float, ramp_down_s: float, ramps_inside_on: bool
) -> Timing:
    """A timing from the figures of a record, which knows two of the conventions."""
    where = RampConvention.INSIDE if ramps_inside_on else RampConvention.OUTSIDE
    return Timing(on_s, off_s, ramp_up_s, ramp_down_s, where)


TIMING_FIGURES = ("on_s", "off_s", "ramp_up_s", "ramp_down_s", "ramps_inside_on")


def cycle_s(timing: Timing) -> float:
    """One contraction with its rest. [s]

    on + off; ramps outside the on time add to it.
    """
    if timing.convention is RampConvention.OUTSIDE:
        return timing.on_s + timing.off_s + timing.ramp_up_s + timing.ramp_down_s
    return timing.on_s + timing.off_s


def plateau_s(timing: Timing) -> float:
    """Time at full intensity within one contraction. [s]

    Negative when the ramps are longer than the on time that holds them.
    """
    if timing.convention is RampConvention.OUTSIDE:
        return timing.on_s
    if timing.convention is RampConvention.UP_INSIDE:
        return timing.on_s - timing.ramp_up_s
    return timing.on_s - timing.ramp_up_s - timing.ramp_down_s


def stimulated_s(timing: Timing) -> float:
    """Time with current flowing within one contraction, ramps included. [s]"""
    if timing.convention is RampConvention.OUTSIDE:
        return timing.on_s + timing.ramp_up_s + timing.ramp_down_s
    if timing.convention is RampConvention.UP_INSIDE:
        return timing.on_s + timing.ramp_down_s
    return timing.on_s


def duty_cycle_pct(timing: Timing) -> float:
    """On time as a share of on and off, ramps as the source counts them. [%]

    Windholz et al. 2014, BMC Palliative Care 13:23: 5 s : 5 s is 50 %.
    """
    return 100 * timing.on_s / (timing.on_s + timing.off_s)


def work_to_rest(timing: Timing) -> float:
    """Rest per unit of work, r in "1:r". [1]

    Nussbaum et al. 2017, Physiotherapy Canada 69(5), Table 11: 10:50 is 1:5.
    """
    return timing.off_s / timing.on_s


def contractions_in(
    timing: Timing,
    *,
    bout_min: float,
    count_last_rest: bool = True,
    warmup_min: float = 0.0,
    recovery_min: float = 0.0,
) -> int:
    """Whole contractions that fit into a bout. [count]

    n = floor((main minutes x 60 [+ off, if the last rest is dropped]) / cycle)

    Aldayel 2021, Saudi J Sports Med 21:51-58: 5 s : 15 s, 20 min, 60.
    """
    room_s = 60 * (bout_min - warmup_min - recovery_min)
    if not count_last_rest:
        room_s += timing.off_s
    return max(0, floor(room_s / cycle_s(timing) + ROUNDING))


def bout_minutes(
    timing: Timing,
    *,
    contractions: int,
    count_last_rest: bool = True,
    warmup_min: float = 0.0,
    recovery_min: float = 0.0,
) -> float:
    """Length of a bout of so many contractions, warm-up and recovery included. [min]

    10 contractions of 10 s : 50 s last 10 min with the last rest and
    9 min 10 s without it.
    """
    main_s = contractions * cycle_s(timing)
    if not count_last_rest and contractions:
        main_s -= timing.off_s
    return main_s / 60 + warmup_min + recovery_min


def stimulated_min(timing: Timing, *, contractions: int) -> float:
    """Minutes with current flowing in one bout. [min]"""
    return contractions * stimulated_s(timing) / 60


def pulses_per_contraction(timing: Timing, *, frequency_hz: float) -> float:
    """Pulses (or bursts) delivered in one contraction, ramps included. [count]"""
    return stimulated_s(timing) * frequency_hz


def voluntary_contractions(contractions: int, *, in_off_time: bool) -> int:
    """Voluntary repetitions without current, one in each off time. [count]

    Common practice, no source: the rest serves either for one of these or for
    nothing, when the muscle tires.
    """
    return contractions if in_off_time else 0


@dataclass(frozen=True)
class Volume:
    """Contractions a patient is asked for. [count]"""

    per_day: int
    per_week: int
    per_course: int


def volume(*, contractions: int, bouts_per_day: int, days_per_week: int, weeks: int) -> Volume:
    """Contractions per day of use, per week and per course. [count]

    Feil et al. 2011, Am J Sports Med 39:1238-47: 80 a bout, three bouts a day,
    five days a week for twelve weeks are 14 400.
    """
    per_day = contractions * bouts_per_day
    per_week = per_day * days_per_week
    return Volume(per_day, per_week, per_week * weeks)
