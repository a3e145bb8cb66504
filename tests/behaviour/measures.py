"""What the rules cost and what they find."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from math import sqrt
from statistics import mean, median, stdev

from homeprogram.calc.days import closes_at
from homeprogram.calc.limits import FlagRules
from tests.behaviour.clinic import Course, day_of, lived, openings
from tests.behaviour.people import Habit, panel, steady, stopping
from tests.rules.build import MONDAY, UTC_ZONE

ABSENCE = ("missed_days", "no_contact")


def courses(habit: Habit, *, count: int, days: int, seed: int, rules: FlagRules) -> list[Course]:
    return [lived(person, rules) for person in panel(habit, count, days, seed)]


def a_week(found: Sequence[Course], *reasons: str) -> float:
    """New cards a patient-week; all reasons where none is named."""
    weeks = sum(len(course.person.done) for course in found) / 7
    return sum(1 for _ in openings(list(found), *reasons)) / weeks


@dataclass(frozen=True, slots=True)
class Rate:
    """New cards a patient-week, with the standard error between patients."""

    mean: float
    error: float

    def __str__(self) -> str:
        return f"{self.mean:.4f} ± {self.error:.4f}"


def rate(found: Sequence[Course], *reasons: str) -> Rate:
    each = [a_week([course], *reasons) for course in found]
    return Rate(mean(each), stdev(each) / sqrt(len(each)))


def rates_by_week(found: Sequence[Course], reason: str) -> list[Rate]:
    """A course begins with nothing missed yet: the weeks after the first tell what goes on."""
    weeks = range(len(found[0].person.done) // 7)
    counts = [
        Counter((o.at.date() - MONDAY).days // 7 for o in openings([c], reason)) for c in found
    ]
    return [
        Rate(mean(each), stdev(each) / sqrt(len(each)))
        for each in ([count[week] for count in counts] for week in weeks)
    ]


def partly_told(found: Sequence[Course], reason: str) -> float:
    """Openings of which some days had been told by an opening before, of all."""
    every = list(openings(list(found), reason))
    return sum(one.partly for one in every) / len(every) if every else 0.0


def by_reason(found: Sequence[Course]) -> dict[str, float]:
    weeks = sum(len(course.person.done) for course in found) / 7
    counts = Counter(one.reason for one in openings(list(found)))
    return {reason: round(count / weeks, 3) for reason, count in counts.most_common()}


def due_days_until_shown(course: Course) -> int | None:
    """How many due days without a bout had closed when a card first said so; every day is due."""
    stops = course.person.stops_on
    said = [o.at for o in course.openings if o.reason in ABSENCE and o.at >= closes_at_start(stops)]
    if not said:
        return None
    days = 1
    while closes_at(day_of(stops + days - 1), UTC_ZONE) + timedelta(minutes=5) < min(said):
        days += 1
    return days


def closes_at_start(stops: int):
    """Before the first missed day is over nothing can be known."""
    return closes_at(day_of(stops - 1), UTC_ZONE) - timedelta(hours=12)


def repeat_share(found: Sequence[Course]) -> float:
    """Openings that told nothing new, of all."""
    every = list(openings(list(found)))
    return sum(one.repeats for one in every) / len(every) if every else 0.0


@dataclass(frozen=True, slots=True)
class Variant:
    """What one set of thresholds would cost and find."""

    name: str
    at_90: float
    at_80: float
    shown_after: float  # due days, median; phone heard
    latest: int
    default: bool = False


def trade_off(*, count: int, days: int, seed: int) -> list[Variant]:
    """The default rules among stricter and looser ones, on the same people."""
    default = FlagRules()
    tried = {
        "1 in a row": replace(default, missed_in_a_row=1),
        "2 in a row, or 2 of 7": replace(default, missed_of_last=2),
        "2 in a row, or 3 of 7 (default)": default,
        "2 in a row, or 4 of 7": replace(default, missed_of_last=4),
        "3 in a row, or 3 of 7": replace(default, missed_in_a_row=3),
        "3 in a row, or 4 of 7": replace(default, missed_in_a_row=3, missed_of_last=4),
        "default, silence 24 h": replace(default, no_contact_h=24),
        "default, silence 72 h": replace(default, no_contact_h=72),
    }
    people = {"count": count, "days": days, "seed": seed}
    return [_variant(name, rules, people) for name, rules in tried.items()]


def _variant(name: str, rules: FlagRules, people: dict[str, int]) -> Variant:
    asked = people | {"rules": rules}
    burden = [
        a_week(courses(lambda rng, n, p=p: steady(rng, n, p), **asked), *ABSENCE)
        for p in (0.9, 0.8)
    ]
    stopped = [
        due_days_until_shown(one) or 99
        for silent in (False, True)
        for one in courses(lambda rng, n, s=silent: stopping(rng, n, silent=s), **asked)
    ]
    return Variant(name, *burden, median(stopped), max(stopped), rules == FlagRules())
