"""The first dose and what follows it: supervised, low, and never assumed.

Common practice, no source; case reports of muscle breakdown after a hard first
session are why the first week is short (e.g. Clin J Sport Med 2024;34:506).
"""

from collections.abc import Collection
from dataclasses import dataclass
from math import ceil

from homeprogram.calc.dose_errors import ImpossibleDose

FIRST_WEEK_SHARE = 0.5
DAYS_OFF_BEFORE_STEP_DOWN = 7
STEP_DOWN_SHARE = 0.8

# Any of these makes a remembered current meaningless: skin, lead and output
# stage decide how much of the displayed figure reaches the nerve.
VOIDING_CHANGES = frozenset({"pads", "pad_placement", "lead", "stimulator"})

OBSERVED_CONTRACTIONS = ("none", "flicker", "sustained", "moves_patella")


@dataclass(frozen=True)
class ChannelIntensity:
    """What the supervised first bout found for one channel, in the shown unit.

    start    where the patient first feels a contraction; each bout still rises
             from zero
    floor    the least that counts as a working contraction
    ceiling  the most the patient may go to alone
    """

    start: float
    floor: float
    ceiling: float


def check_channel(channel: ChannelIntensity, *, stimulator_max: float | None = None) -> None:
    """Refuse figures that contradict each other or the stimulator."""
    if not 0 < channel.start <= channel.floor <= channel.ceiling:
        raise ImpossibleDose(
            "Start, floor and ceiling must rise in this order, above zero.",
            code="intensity_order",
            fields={"intensity": "start <= floor <= ceiling"},
        )
    if stimulator_max is not None and channel.ceiling > stimulator_max:
        raise ImpossibleDose(
            f"The stimulator stops at {stimulator_max:g}.",
            code="ceiling_above_stimulator",
            fields={"ceiling": f"at most {stimulator_max:g}"},
        )


@dataclass(frozen=True)
class WeekDose:
    """Contractions a bout and bouts a day of one week."""

    contractions_per_bout: int
    bouts_per_day: int


def first_week(
    *, contractions_per_bout: int, bouts_per_day: int, share: float = FIRST_WEEK_SHARE
) -> WeekDose:
    """A short first week: a share of the contractions, at most one bout a day."""
    fewer = max(1, ceil(contractions_per_bout * share))
    return WeekDose(min(fewer, contractions_per_bout), min(1, bouts_per_day))


def remembered_intensity(
    last: float,
    *,
    days_off: int,
    changed: Collection[str] = (),
    ceiling: float | None = None,
    step_down_share: float = STEP_DOWN_SHARE,
) -> float | None:
    """What the next bout may aim for, in the unit of `last`; None when void.

    Void after a change of pads, their place, lead or stimulator: find it anew.
    Stepped down after seven days off. Never above the ceiling.
    """
    if VOIDING_CHANGES & set(changed):
        return None
    aim = last * step_down_share if days_off >= DAYS_OFF_BEFORE_STEP_DOWN else last
    return aim if ceiling is None else min(aim, ceiling)


def strength_is_measured_by(*, mvic_cleared: bool, inhibited: bool) -> str:
    """`evoked_fraction`, or `observed_contraction` where a maximal effort is not
    cleared by the surgeon or the muscle is inhibited."""
    if mvic_cleared and not inhibited:
        return "evoked_fraction"
    return "observed_contraction"
