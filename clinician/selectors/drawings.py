"""Our own small drawings as plain numbers: the pattern, the week, the thigh."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext

from clinician.selectors.words import WEEKDAYS, listed, number, plural
from homeprogram.calc.dose import RampConvention, Timing, cycle_s, plateau_s
from homeprogram.calc.pattern import pattern

# The pattern fills a box of this size, stretched to the page's width.
WIDE, HIGH, BASE, TOP = 1000, 100, 96, 8
ROOM = 66  # [px] for the blocks of a day
BLOCK = 30  # [px] the highest block
GAP = 2


@dataclass(frozen=True, slots=True)
class PatternDrawing:
    """`points` of the line; the times under it in percent of the width."""

    points: str
    words: str
    marks: list[tuple[str, str, str]]  # x in %, text, anchor


def pattern_drawing(timing: Timing) -> PatternDrawing:
    corners = pattern(timing)
    whole = 2 * cycle_s(timing)
    points = " ".join(
        f"{_tenth(WIDE * at / whole)},{_tenth(BASE - (BASE - TOP) * share)}"
        for at, share in corners
    )
    half = number(cycle_s(timing))
    marks = [
        ("0%", "0 s", "start"),
        ("50%", f"{half} s", "middle"),
        ("100%", f"{number(whole)} s", "end"),
    ]
    return PatternDrawing(points, pattern_words(timing), marks if corners else [])


def pattern_words(timing: Timing) -> str:
    """The drawing's numbers, for who cannot see it."""
    where = "outside" if timing.convention is RampConvention.OUTSIDE else "inside"
    return (
        f"Two cycles to scale: {number(timing.ramp_up_s)} s up, {number(plateau_s(timing))} s "
        f"plateau, {number(timing.ramp_down_s)} s down, then {number(timing.off_s)} s off; a cycle "
        f"takes {number(cycle_s(timing))} s. The ramps are {where} the on time."
    )


def _tenth(value: float) -> str:
    return f"{round(value, 1):g}"


@dataclass(frozen=True, slots=True)
class Block:
    x: str
    y: float
    height: float


@dataclass(frozen=True, slots=True)
class WeekDay:
    x: str
    name: str
    count: str
    count_y: float
    blocks: list[Block]


@dataclass(frozen=True, slots=True)
class WeekDrawing:
    days: list[WeekDay]
    words: str


def week_drawing(weekdays: Collection[int], *, bouts: int, contractions: int) -> WeekDrawing:
    """One column a day, one block a bout; the figure above is the day's contractions."""
    days = [_week_day(i, bouts if i in weekdays else 0, contractions) for i in range(7)]
    every = len(weekdays) == len(WEEKDAYS)
    names = "Every day" if every else listed([WEEKDAYS[day] for day in sorted(weekdays)])
    a_day = bouts * contractions
    words = (
        f"{names}: {plural(bouts, 'bout')} a day, {a_day} contractions a day. "
        f"{plural(bouts * len(weekdays), 'bout')} and {a_day * len(weekdays)} contractions a week."
    )
    return WeekDrawing(days, words)


def _week_day(day: int, bouts: int, contractions: int) -> WeekDay:
    middle = (day + 0.5) * 100 / 7
    height = min(BLOCK, (ROOM - GAP * (bouts - 1)) / bouts) if bouts else 0
    blocks = [
        Block(f"{middle - 4:.2f}%", round(84 - (n + 1) * height - n * GAP, 2), round(height, 2))
        for n in range(bouts)
    ]
    top = blocks[-1].y - 4 if blocks else 80
    count = str(bouts * contractions)
    return WeekDay(f"{middle:.2f}%", WEEKDAYS[day], count, top, blocks)


# The thigh as its owner sees it, looking down: knee far (top), hip near. The outer
# side is on the left for the left limb. The same picture as on the phone.
THIGH_WIDE = 208
PAD_PLACES = {
    "upper_outer": (78, 168, 8),
    "upper_inner": (128, 168, -8),
    "lower_outer": (82, 110, 14),
    "lower_inner": (127, 110, -12),
}
OUTER_X, INNER_X = 23, 185


@dataclass(frozen=True, slots=True)
class DrawnPad:
    number: int
    place: str
    x: int
    y: int
    turn: int


@dataclass(frozen=True, slots=True)
class ThighDrawing:
    flip: str
    pads: list[DrawnPad]
    outer_x: int
    inner_x: int
    words: str
    knee: str
    hip: str
    outer: list[str]
    inner: list[str]


def thigh_drawing(limb: str, pads: Sequence[str]) -> ThighDrawing:
    """Words are placed, never mirrored; in the language that is spoken now."""
    left = limb == "left"
    drawn = [_drawn_pad(left, code, n) for n, code in enumerate(pads, start=1)]
    places = " ".join(
        gettext("pads.one").format(number=pad.number, place=pad.place) for pad in drawn
    )
    side = gettext(f"limb.{limb}").lower()
    return ThighDrawing(
        flip="" if left else f"translate({THIGH_WIDE} 0) scale(-1 1)",
        pads=drawn,
        outer_x=OUTER_X if left else THIGH_WIDE - OUTER_X,
        inner_x=INNER_X if left else THIGH_WIDE - INNER_X,
        words=gettext("sheet.thigh").format(limb=side, pads=places),
        knee=gettext("pads.knee"),
        hip=gettext("pads.hip"),
        outer=gettext("pads.outer").split(),
        inner=gettext("pads.inner").split(),
    )


def _drawn_pad(left: bool, code: str, n: int) -> DrawnPad:  # noqa: FBT001
    x, y, turn = PAD_PLACES[code]
    place = gettext(f"pad.{code}")
    return DrawnPad(n, place, x if left else THIGH_WIDE - x, y, turn if left else -turn)
