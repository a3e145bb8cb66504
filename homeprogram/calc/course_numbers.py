"""One limb's course as numbers by day: what charts, tables and exports show alike.

A day without data is None, a gap, whatever the reason; 0 stands only where it is
known that nothing was done. Of several bouts on a day the highest value counts.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import DayStatus
from homeprogram.calc.limits import RATING_MAX
from homeprogram.calc.strength import error_of_index

KNOWN_NOTHING = {DayStatus.MISSED, DayStatus.NOT_DONE}
DECIMALS = 1


@dataclass(frozen=True, slots=True)
class Felt:
    """What one bout says beside the counts of its day."""

    day: date
    discomfort: int
    knee_pain_before: int
    knee_pain_after: int
    intensity: Sequence[dict]  # channel, value, unit


@dataclass(frozen=True, slots=True)
class Measured:
    """One strength test; of two on a day the later counts. `evoked_of` names an MVIC."""

    day: date
    evoked_pct: float | None
    evoked_of: str
    lsi_pct: float | None
    lsi_sound: bool  # the other limb is a fair measure
    epic_pct: float | None
    mdc_pct: float | None


@dataclass(frozen=True, slots=True)
class Line:
    """`end` = low or high: the span of error about the line named before it."""

    name: str
    values: tuple[float | None, ...]  # one a day
    end: str = ""

    @property
    def known(self) -> list[float]:
        return [value for value in self.values if value is not None]


@dataclass(frozen=True, slots=True)
class Measure:
    """One chart. `top` = the end of a fixed scale; `goals` = value and what it is.

    `judged` = the number of lines, from the first, whose course may be judged by
    itself: not what was asked, and not the few tests.
    """

    code: str
    title: str
    unit: str
    lines: tuple[Line, ...]
    judged: int = 0
    top: float | None = None
    bars: bool = False
    goals: tuple[tuple[float, str], ...] = ()


def measures(
    *,
    days: Sequence[Day],
    felt: Iterable[Felt],
    tested: Iterable[Measured],
    evoked_goals: Sequence[tuple[float, str]],
    lsi_goals: Sequence[tuple[float, str]],
    epic_goals: Sequence[tuple[float, str]],
) -> list[Measure]:
    """In the order they are read; lines without a value are left out, and charts without lines."""
    by_day = defaultdict(list)
    for bout in felt:
        by_day[bout.day].append(bout)
    tests = {test.day: test for test in tested}
    return [
        one
        for one in (
            *_counts(days),
            *_intensity(days, by_day),
            *_ratings(days, by_day),
            _evoked(days, tests, tuple(evoked_goals)),
            *_indices(days, tests, tuple(lsi_goals), tuple(epic_goals)),
        )
        if one.lines
    ]


def _lines(*told: tuple) -> tuple[Line, ...]:
    """From (name, values) and, for the ends of an error, which end."""
    lines = [Line(name, tuple(map(_rounded, values)), *end) for name, values, *end in told]
    return tuple(line for line in lines if line.known)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, DECIMALS)


def _counts(days: Sequence[Day]) -> Iterable[Measure]:
    def logged(count: Callable[[Day], float]) -> list[float | None]:
        return [count(day) if _is_known(day) else None for day in days]

    def asked(count: Callable[[Day], float]) -> list[float | None]:
        return [count(day) if day.is_due else None for day in days]

    bouts = _lines(
        ("logged", logged(lambda day: day.logged.bouts_done + day.logged.bouts_partial)),
        ("asked", asked(lambda day: day.due.due)),
    )
    contractions = _lines(
        ("logged", logged(lambda day: day.logged.contractions)),
        ("asked", asked(lambda day: day.due.contractions)),
    )
    minutes = _lines(("logged", logged(lambda day: day.logged.minutes)))
    yield Measure("bouts", "Bouts", "a day", bouts, judged=1, bars=True)
    yield Measure("minutes", "Minutes", "min a day", minutes, judged=1, bars=True)
    yield Measure("contractions", "Contractions", "a day", contractions, judged=1, bars=True)


def _is_known(day: Day) -> bool:
    logged = day.logged.bouts_done or day.logged.bouts_partial
    return bool(logged) or day.status in KNOWN_NOTHING


def _intensity(days: Sequence[Day], by_day: dict[date, list[Felt]]) -> Iterable[Measure]:
    """A chart a unit, since mA and a stimulator's own levels share no axis."""
    told: dict[str, dict[int, dict[date, float]]] = defaultdict(lambda: defaultdict(dict))
    for on, bouts in by_day.items():
        for one in (channel for bout in bouts for channel in bout.intensity):
            highest = told[one["unit"]][one["channel"]]
            highest[on] = max(one["value"], highest.get(on, one["value"]))
    for unit, channels in sorted(told.items()):
        lines = [
            (f"channel {number}", [values.get(day.day) for day in days])
            for number, values in sorted(channels.items())
        ]
        yield Measure(f"intensity_{unit}", "Intensity", unit, _lines(*lines), judged=len(lines))


def _ratings(days: Sequence[Day], by_day: dict[date, list[Felt]]) -> Iterable[Measure]:
    def highest(name: str) -> list[float | None]:
        return [max((getattr(b, name) for b in by_day[day.day]), default=None) for day in days]

    felt = _lines(("during the bout", highest("discomfort")))
    before, after = highest("knee_pain_before"), highest("knee_pain_after")
    pain = _lines(("before the bout", before), ("after the bout", after))
    yield Measure("discomfort", "Discomfort", "of 10", felt, judged=1, top=RATING_MAX)
    yield Measure("knee_pain", "Knee pain", "of 10", pain, judged=2, top=RATING_MAX)


def _evoked(days: Sequence[Day], tests: dict[date, Measured], goals: tuple) -> Measure:
    shown = [tests.get(day.day) for day in days]
    names = sorted({test.evoked_of for test in shown if test and test.evoked_pct is not None})
    told = [
        (f"of the MVIC of {name}", [_evoked_of(name, test) for test in shown]) for name in names
    ]
    return Measure("evoked", "Evoked fraction", "%", _lines(*told), goals=goals)


def _evoked_of(name: str, test: Measured | None) -> float | None:
    return test.evoked_pct if test and test.evoked_of == name else None


def _indices(
    days: Sequence[Day], tests: dict[date, Measured], lsi_goals: tuple, epic_goals: tuple
) -> Iterable[Measure]:
    shown = [tests.get(day.day) for day in days]
    lsi = [test.lsi_pct if test and test.lsi_sound else None for test in shown]
    epic = [test.epic_pct if test else None for test in shown]
    unsound = [test.lsi_pct if test and not test.lsi_sound else None for test in shown]
    lines = _lines(*_with_error("LSI", lsi, shown), ("LSI, other limb not sound", unsound))
    yield Measure("lsi", "LSI", "%", lines, goals=lsi_goals)
    yield Measure("epic", "EPIC", "%", _lines(*_with_error("EPIC", epic, shown)), goals=epic_goals)


def _with_error(
    name: str, values: Sequence[float | None], shown: Sequence[Measured | None]
) -> Iterable[tuple]:
    errors = [_error(value, test) for value, test in zip(values, shown, strict=True)]
    both = list(zip(values, errors, strict=True))
    yield name, values
    yield f"{name}, lowest within error", [None if e is None else v - e for v, e in both], "low"
    yield f"{name}, highest within error", [None if e is None else v + e for v, e in both], "high"


def _error(value: float | None, test: Measured | None) -> float | None:
    if value is None or test.mdc_pct is None:
        return None
    return error_of_index(value, mdc_pct=test.mdc_pct)
